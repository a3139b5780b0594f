// Bright or dark quadrilaterals in a small copy of the picture; for this folder only.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "vision/picture_pixels.hpp"
#include "vision/plane.hpp"

namespace spile::vision {

// Corners in full-resolution pixels, clockwise as seen.
using Quadrilateral = std::array<Point2, 4>;

// Largest first, no two alike. With `at`, those that enclose it.
[[nodiscard]] std::vector<Quadrilateral> find_quadrilaterals(const Picture::Pixels& pixels,
                                                             const std::optional<Point2>& at);

[[nodiscard]] bool encloses(const Quadrilateral& quad, const Point2& px);

}  // namespace spile::vision
