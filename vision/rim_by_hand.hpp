// A rim out of the points a person placed.
#pragma once

#include <optional>
#include <vector>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

// Three or more points on one rim. With `snap` each is moved to the nearest edge that is there; the others
// stay and count as less certain. Nothing when the points are fewer, lie in line or outside the plane.
[[nodiscard]] std::optional<FineRim> rim_by_hand(const RimPlace& place, const std::vector<PixelPoint>& points,
                                                 bool snap, double u_roundness);

}  // namespace spile::vision
