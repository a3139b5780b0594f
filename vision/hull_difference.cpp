#include "vision/hull_difference.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

constexpr double kFillMm = 1.5;

// Not seen places get the average of what was seen near them, so that filters do not trip over the seam.
cv::Mat filled(const cv::Mat& of, const cv::Mat& seen, double sigma) {
  cv::Mat weight, known = cv::Mat::zeros(of.size(), of.type());
  seen.convertTo(weight, CV_32FC1, 1.0 / 255);
  of.copyTo(known, seen);
  cv::Mat share = widely_blurred(weight, sigma) + 1e-4;
  if (of.channels() == 3) cv::merge(std::vector<cv::Mat>(3, share), share);
  cv::Mat out = widely_blurred(known, sigma) / share;
  of.copyTo(out, seen);
  return out;
}

}  // namespace

LineDifference line_difference(const HullPair& pair, double beside_rim_mm) {
  const HullGrid& grid = pair.later.grid;
  LineDifference out;
  out.opening = opening_cells(grid, pair.radius_mm + beside_rim_mm);
  out.seen = pair.earlier.seen & pair.later.seen & ~out.opening;
  out.luma = filled(luma_of(pair.later.log_light) - luma_of(pair.earlier.log_light), out.seen,
                    kFillMm / grid.cell_mm);
  return out;
}

PatchDifference patch_difference(const HullPair& pair, double beside_rim_mm, double cell_mm) {
  const HullGrid& grid = pair.later.grid;
  PatchDifference out;
  out.seen = pair.earlier.seen & pair.later.seen & ~opening_cells(grid, pair.radius_mm + beside_rim_mm);
  const double shrink = cell_mm / grid.cell_mm;
  const cv::Size size(static_cast<int>(grid.cols / shrink), static_cast<int>(grid.rows / shrink));
  cv::Mat change, weight, three;
  out.seen.convertTo(weight, CV_32FC1, 1.0 / 255);
  cv::merge(std::vector<cv::Mat>(3, weight), three);
  change = (pair.later.log_light - pair.earlier.log_light).mul(three);
  cv::resize(change, change, size, 0, 0, cv::INTER_AREA);
  cv::resize(weight, weight, size, 0, 0, cv::INTER_AREA);
  cv::merge(std::vector<cv::Mat>(3, cv::max(weight, 1e-3)), three);
  out.coarse_seen = weight > 0.5;
  out.coarse_bgr = filled(change / three, out.coarse_seen, kFillMm / cell_mm);
  return out;
}

cv::Mat local_noise(const cv::Mat& of, const cv::Mat& seen, double cell_mm) {
  constexpr double kNearMm = 8;
  cv::Mat weight;
  seen.convertTo(weight, CV_32FC1, 1.0 / 255);
  const double sigma = kNearMm / cell_mm;
  const cv::Mat share = widely_blurred(weight, sigma) + 1e-3;
  const auto mean = [&](const cv::Mat& values) {
    return cv::Mat(widely_blurred(values.mul(weight), sigma) / share);
  };
  // The mean deviation grows with the square of no outlier; 1.25 turns it into a normal standard deviation.
  const cv::Mat centre = mean(of);
  return 1.25 * mean(cv::abs(of - centre));
}

}  // namespace spile::vision
