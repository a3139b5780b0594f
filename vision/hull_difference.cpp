#include "vision/hull_difference.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

// Not seen places get the average of what was seen near them, so that filters do not trip over the seam.
cv::Mat filled(const cv::Mat& of, const cv::Mat& seen, double sigma) {
  cv::Mat weight, known = cv::Mat::zeros(of.size(), of.type());
  seen.convertTo(weight, CV_32FC1, 1.0 / 255);
  of.copyTo(known, seen);
  cv::Mat share = blurred(weight, sigma) + 1e-4;
  if (of.channels() == 3) cv::merge(std::vector<cv::Mat>(3, share), share);
  cv::Mat out = blurred(known, sigma) / share;
  of.copyTo(out, seen);
  return out;
}

}  // namespace

Difference difference_of(const HullPair& pair, double beside_rim_mm) {
  const HullGrid& grid = pair.later.grid;
  Difference out;
  out.seen = pair.earlier.seen & pair.later.seen;
  out.opening = opening_cells(grid, pair.radius_mm + beside_rim_mm);
  out.seen &= ~out.opening;
  out.bgr = filled(pair.later.log_light - pair.earlier.log_light, out.seen, 1.5 / grid.cell_mm);
  out.luma = luma_of(out.bgr);
  return out;
}

cv::Mat local_noise(const cv::Mat& of, const cv::Mat& seen, double cell_mm) {
  constexpr double kNearMm = 8;
  cv::Mat weight;
  seen.convertTo(weight, CV_32FC1, 1.0 / 255);
  const double sigma = kNearMm / cell_mm;
  // Means at a coarse size: a standard deviation needs no more, and a wide blur is dear.
  const double shrink = std::max(1.0, sigma / 8);
  const cv::Size coarse(std::max(1, static_cast<int>(of.cols / shrink)),
                        std::max(1, static_cast<int>(of.rows / shrink)));
  const auto mean = [&](const cv::Mat& values) {
    cv::Mat small, small_weight;
    cv::resize(values.mul(weight), small, coarse, 0, 0, cv::INTER_AREA);
    cv::resize(weight, small_weight, coarse, 0, 0, cv::INTER_AREA);
    cv::Mat out = blurred(small, sigma / shrink) / (blurred(small_weight, sigma / shrink) + 1e-3);
    cv::resize(out, out, of.size(), 0, 0, cv::INTER_LINEAR);
    return out;
  };
  // The mean deviation grows with the square of no outlier; 1.25 turns it into a normal standard deviation.
  const cv::Mat centre = mean(of);
  return 1.25 * mean(cv::abs(of - centre));
}

}  // namespace spile::vision
