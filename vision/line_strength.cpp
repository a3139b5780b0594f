#include "vision/line_strength.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace spile::vision {
namespace {

constexpr int kDirections = 16;

// One direction a line may take, in cells: where it is read, and how far off to either side.
struct Direction {
  std::vector<cv::Point> along;
  cv::Point side;
};

std::vector<Direction> directions_of(double cell_mm) {
  const int samples = std::max(3, static_cast<int>(std::lround(kLineMm / cell_mm / 1.5)) | 1);
  std::vector<Direction> out(kDirections);
  for (int k = 0; k < kDirections; ++k) {
    const double a = std::numbers::pi * k / kDirections;
    const double ux = std::cos(a), uy = std::sin(a);
    Direction& direction = out[static_cast<std::size_t>(k)];
    for (int i = 0; i < samples; ++i) {
      const double t = (static_cast<double>(i) / (samples - 1) - 0.5) * kLineMm / cell_mm;
      direction.along.emplace_back(cvRound(t * ux), cvRound(t * uy));
    }
    direction.side = {cvRound(-kSideMm / cell_mm * uy), cvRound(kSideMm / cell_mm * ux)};
  }
  return out;
}

// The mean along the direction through each cell of `wide` that is `margin` off its edges. Written out in
// blocks that stay in registers: this is where comparing spends its time.
void mean_along(const cv::Mat& wide, const Direction& direction, int margin, cv::Mat& out) {
  constexpr int kBlock = 64;
  const float share = 1.0F / static_cast<float>(direction.along.size());
  for (int r = margin; r < wide.rows - margin; ++r) {
    auto* to = out.ptr<float>(r);
    for (int c = margin; c < wide.cols - margin; c += kBlock) {
      const int n = std::min(kBlock, wide.cols - margin - c);
      std::array<float, kBlock> sum{};
      for (const cv::Point& off : direction.along) {
        const float* from = wide.ptr<float>(r + off.y) + c + off.x;
        for (int i = 0; i < n; ++i) sum[static_cast<std::size_t>(i)] += from[i];
      }
      for (int i = 0; i < n; ++i) to[c + i] = share * sum[static_cast<std::size_t>(i)];
    }
  }
}

}  // namespace

LineStrength line_strength(const cv::Mat& difference, double cell_mm) {
  const int reach = static_cast<int>(std::ceil(0.5 * kLineMm / cell_mm)),
            side = static_cast<int>(std::ceil(kSideMm / cell_mm)) + 1, margin = reach + side;
  cv::Mat wide;
  cv::copyMakeBorder(difference, wide, margin, margin, margin, margin, cv::BORDER_REPLICATE);
  cv::Mat along = cv::Mat::zeros(wide.size(), CV_32FC1);
  LineStrength out{cv::Mat(difference.size(), CV_32FC1, cv::Scalar(-1)),
                   cv::Mat(difference.size(), CV_32FC1, cv::Scalar(-1))};
  for (const Direction& direction : directions_of(cell_mm)) {
    mean_along(wide, direction, reach, along);
    for (int r = 0; r < difference.rows; ++r) {
      const float* here = along.ptr<float>(r + margin) + margin;
      const float* one = along.ptr<float>(r + margin + direction.side.y) + margin + direction.side.x;
      const float* other = along.ptr<float>(r + margin - direction.side.y) + margin - direction.side.x;
      auto *dark = out.dark.ptr<float>(r), *light = out.light.ptr<float>(r);
      for (int c = 0; c < difference.cols; ++c) {
        dark[c] = std::max(dark[c], std::min(one[c], other[c]) - here[c]);
        light[c] = std::max(light[c], here[c] - std::max(one[c], other[c]));
      }
    }
  }
  return out;
}

}  // namespace spile::vision
