// Two points a known distance apart, placed by a person on the hull: a scale in one direction, the tilt
// unknown. Plane frame: mm, origin midway between the points, x from the first to the second.
#pragma once

#include "vision/reference.hpp"

namespace spile::vision {

// Refusals: reference-too-small (closer than 20 pixels), no-reference (no length, or points outside the
// photo). `placed_px`: how well the points are placed (placing.hpp).
[[nodiscard]] Expected<FoundReference> place_points(const Picture::Pixels& pixels,
                                                    const PointsReference& points, double placed_px);

}  // namespace spile::vision
