// A fitted rim as the public answer: diameters, interval, budget, outline.
#pragma once

#include "vision/measure.hpp"
#include "vision/reference.hpp"
#include "vision/rim.hpp"

namespace spile::vision {

// The diameter, mm, that a plane gives to the rim's pixels at the height z: what the budget moves the plane
// and the height in.
[[nodiscard]] double diameter_in(const FineRim& rim, const Plane& plane, double z);

[[nodiscard]] Hole described(const FineRim& rim, const FoundReference& reference);

}  // namespace spile::vision
