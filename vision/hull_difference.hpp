// Later less earlier view of the hull, and how noisy that is, place by place; for this folder only.
#pragma once

#include "vision/hull_changes.hpp"

namespace spile::vision {

struct LineDifference {
  cv::Mat luma;     // CV_32FC1, of log light; filled in smoothly where not seen
  cv::Mat seen;     // CV_8UC1: both saw it, and it lies outside the opening by `beside_rim_mm`
  cv::Mat opening;  // CV_8UC1: the opening, so widened
};
[[nodiscard]] LineDifference line_difference(const HullPair& pair, double beside_rim_mm);

struct PatchDifference {
  cv::Mat seen;         // CV_8UC1, as above
  cv::Mat coarse_bgr;   // CV_32FC3, of log light, in cells of `cell_mm`; filled in where not seen
  cv::Mat coarse_seen;  // CV_8UC1
};
[[nodiscard]] PatchDifference patch_difference(const HullPair& pair, double beside_rim_mm, double cell_mm);

// Standard deviation of `of` about its surroundings, robustly: what a few lines or patches do not move.
[[nodiscard]] cv::Mat local_noise(const cv::Mat& of, const cv::Mat& seen, double cell_mm);

}  // namespace spile::vision
