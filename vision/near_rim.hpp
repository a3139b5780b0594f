// The near rim about a far one, in a plane whose tilt is not known; for this folder only.
#pragma once

#include <optional>

#include "vision/rim.hpp"

namespace spile::vision {

// What a rim borders on tells which it is: just outside the near rim lies the hull, just outside the far rim
// the wall of the bore. The curve about `rim` that closes such a wall, an ellipse perhaps, since the plane
// may be tilted; nothing when the rim borders on the hull itself.
[[nodiscard]] std::optional<FineRim> rim_about(const RimPlace& place, const FineRim& rim, double u_roundness);

// Whether what shows between two circles about one opening is the wall of its bore, rather than the hull
// between the rim and a ring about it: whether it looks like nothing that lies beyond the outer one. A band
// too narrow to show a colour is taken for a wall: rings lie further off.
[[nodiscard]] bool wall_between(const RimPlace& place, const FineRim& outer, const FineRim& inner);

// Whether the hull shows within the circle as it does without: a ring of old sealant then, not a rim.
[[nodiscard]] bool hull_within(const RimPlace& place, const FineRim& rim);

// FineRim::wall of a near rim: the side on which what lies just within it differs from the middle of the
// bore. The camera looks at that side, which tells its foot from the other one that shows the rim as round.
[[nodiscard]] Point2 wall_side(const RimPlace& place, const FineRim& rim);

}  // namespace spile::vision
