// A plane whose tilt is not known: two points give the scale in one direction only, and square on a tilt acts
// on lengths to second order, which a covariance cannot say. So the tilt is carried as many planes through
// the same two points, each with its weight; for this folder only.
#pragma once

#include <vector>

#include "vision/reference.hpp"
#include "vision/rim.hpp"

namespace spile::vision {

// Planes through two points `length_mm` apart, seen at a and b (px), tilted every way up to 42 degrees; the
// weights, which sum to 1, are those of a hand that holds the camera square to within `u_tilt` (the sine, in
// each of two directions). `start` gives focal length and lens. Plane frame as in points.hpp. The first is
// square on.
[[nodiscard]] std::vector<WeighedPlane> planes_through(const Point2& a, const Point2& b, double length_mm,
                                                       const Plane& start, double u_tilt);

// The reference with its planes weighed anew by how round they show the rims, holes being round to
// `u_roundness` (a share of the radius); its plane becomes the one nearest to the mean of what they tell of
// the first rim. Unchanged when it has no such planes.
[[nodiscard]] FoundReference weighed_by_roundness(const FoundReference& reference,
                                                  const std::vector<FineRim>& rims, double u_roundness);

}  // namespace spile::vision
