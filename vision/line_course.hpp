// The course of a line of cells: thinned, followed from end to end, its ends mended. For this folder only.
#pragma once

#include <vector>

#include "vision/hull_view.hpp"

namespace spile::vision {

// Of the cells in `mask`, grid mm, with a point about every `step_mm`; empty when there are too few. A line
// that stops just short of the opening at the origin starts at its rim, beside which nothing can be told.
[[nodiscard]] std::vector<Point2> course_of(const cv::Mat& mask, const HullGrid& grid, double radius_mm);
[[nodiscard]] double length_of(const std::vector<Point2>& line);

}  // namespace spile::vision
