// A hole is nearly round, and that tells the tilt of the plane where the reference alone cannot: a rule or
// two points give the scale in one direction only.
#pragma once

#include <vector>

#include "vision/reference.hpp"
#include "vision/rim.hpp"

namespace spile::vision {

// How uncertain the ratio of the plane's scales in two square directions is, at a point of the picture
// (relative standard uncertainty).
[[nodiscard]] double aspect_doubt(const FoundReference& reference, const Point2& px);

// The rims' pixels looked at again in another plane.
[[nodiscard]] std::vector<FineRim> laid_into(std::vector<FineRim> rims, const Plane& plane, double z,
                                             double u_roundness);

// The reference with its plane held, besides by what it knew, by the rims being round to `u_roundness` (a
// share of the radius). The shares of its doubts shrink accordingly; "roundness of the hole" is added. Of two
// planes it may lie in the one in which the rims are rounder comes first.
[[nodiscard]] FoundReference held_by_roundness(const FoundReference& reference,
                                               const std::vector<FineRim>& rims, double u_roundness);

}  // namespace spile::vision
