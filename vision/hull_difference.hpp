// Later less earlier view of the hull, and how noisy that is, place by place; for this folder only.
#pragma once

#include "vision/hull_changes.hpp"

namespace spile::vision {

struct Difference {
  cv::Mat bgr;      // CV_32FC3, of log light; filled in smoothly where not seen
  cv::Mat luma;     // CV_32FC1, the same weighted
  cv::Mat seen;     // CV_8UC1: both saw it, and it lies outside the opening by `beside_rim_mm`
  cv::Mat opening;  // CV_8UC1: the opening, so widened
};
[[nodiscard]] Difference difference_of(const HullPair& pair, double beside_rim_mm);

// Standard deviation of `of` about its surroundings, robustly: what a few lines or patches do not move.
[[nodiscard]] cv::Mat local_noise(const cv::Mat& of, const cv::Mat& seen, double cell_mm);

}  // namespace spile::vision
