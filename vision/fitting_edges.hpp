// The edges of a fitting at full resolution: the outline of its flange, the foot of a thick one where it
// shows below that outline, and the rounded edge of its bore; for this folder only. Pixels.
#pragma once

#include <vector>

#include "vision/fitting_search.hpp"

namespace spile::vision {

[[nodiscard]] std::vector<Point2> flange_edge(const RimPlace& place, const Ring& ring);

// The line where a plate meets the hull, on the side where the camera looks at its edge. `place` is the
// hull's plane, `rim_height` the height the ring was measured at. Empty where no plate of some millimetres
// shows one.
[[nodiscard]] std::vector<Point2> foot_edge(const RimPlace& hull, const Ring& ring, double rim_height);

// Where the wall of the bore ends: rounded over into a domed head, or sharp in the face of a plate.
enum class Lip { Rounded, Sharp };
[[nodiscard]] std::vector<Point2> bore_edge(const RimPlace& place, const Ring& ring, Lip lip);

}  // namespace spile::vision
