// A fitted rim as the public answer: diameters, interval, budget, outline.
#pragma once

#include "vision/measure.hpp"
#include "vision/reference.hpp"
#include "vision/rim.hpp"

namespace spile::vision {

[[nodiscard]] Hole described(const FineRim& rim, const FoundReference& reference);

}  // namespace spile::vision
