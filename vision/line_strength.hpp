// How much a line through each cell of a view of the hull stands out from both its sides; for this folder
// only.
#pragma once

#include <opencv2/core.hpp>

namespace spile::vision {

inline constexpr double kLineMm = 3;    // a line must hold for this far to count
inline constexpr double kSideMm = 1.1;  // where its sides are read

struct LineStrength {
  cv::Mat dark, light;  // CV_32FC1: how much darker, lighter than both sides a line through the cell is
};

// `of` is CV_32FC1; in the best of all directions.
[[nodiscard]] LineStrength line_strength(const cv::Mat& of, double cell_mm);

}  // namespace spile::vision
