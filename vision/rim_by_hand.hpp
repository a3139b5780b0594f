// A rim out of the points a person placed.
#pragma once

#include <optional>
#include <vector>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

// Three or more points on one rim, each placed to `placed_px`. With `snap` the edge in the picture that runs
// along them is taken, as far round as the points vouch for it; where another edge would do nearly as well,
// the rim says so in u_other_edge. Without, or where no edge runs there, the points count as placed: their
// scatter, where there are more than three, says how well. Nothing when they lie in line or outside the
// plane.
[[nodiscard]] std::optional<FineRim> rim_by_hand(const RimPlace& place, const std::vector<PixelPoint>& points,
                                                 bool snap, double placed_px, double u_roundness);

}  // namespace spile::vision
