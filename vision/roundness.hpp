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

// The reference with its plane held, besides by what it knew, by the rims being round to `u_roundness` (a
// share of the radius). The shares of its doubts shrink accordingly; "roundness of the hole" is added.
[[nodiscard]] FoundReference held_by_roundness(const FoundReference& reference,
                                               const std::vector<FineRim>& rims, double u_roundness);

}  // namespace spile::vision
