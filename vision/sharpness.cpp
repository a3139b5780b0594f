#include "vision/sharpness.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/edge_profile.hpp"

namespace spile::vision {
namespace {

constexpr int kAcross = 16;         // cells along the longer side, one edge each
constexpr int kLeastGradient = 40;  // of a 3 x 3 Sobel on the small copy
constexpr double kReachPx = 24;
constexpr std::size_t kLeastEdges = 6;

struct Spot {
  int x = 0, y = 0;
  double gx = 0, gy = 0;
};

// The strongest gradient of each cell of the quarter-size picture.
std::vector<Spot> strong_spots(const cv::Mat& small) {
  cv::Mat gx, gy;
  cv::Sobel(small, gx, CV_16S, 1, 0);
  cv::Sobel(small, gy, CV_16S, 0, 1);
  const int cell = std::max(8, std::max(small.cols, small.rows) / kAcross);
  std::vector<Spot> out;
  for (int top = 0; top + cell <= small.rows; top += cell) {
    for (int left = 0; left + cell <= small.cols; left += cell) {
      Spot best;
      int most = kLeastGradient;
      for (int y = top; y < top + cell; ++y) {
        for (int x = left; x < left + cell; ++x) {
          const int a = gx.at<std::int16_t>(y, x), b = gy.at<std::int16_t>(y, x);
          if (std::abs(a) + std::abs(b) <= most) continue;
          most = std::abs(a) + std::abs(b);
          best = {x, y, static_cast<double>(a), static_cast<double>(b)};
        }
      }
      if (most > kLeastGradient) out.push_back(best);
    }
  }
  return out;
}

}  // namespace

std::optional<double> sharpest_blur(const Picture::Pixels& pixels) {
  const LightView view(pixels.grey);
  std::vector<double> blurs;
  for (const Spot& spot : strong_spots(pixels.quarter())) {
    const double size = std::hypot(spot.gx, spot.gy);
    const cv::Point2d foot(4 * spot.x + 1.5, 4 * spot.y + 1.5), normal(spot.gx / size, spot.gy / size);
    const auto fit = fit_edge(sample_profile(view, foot, normal, kReachPx), 0, kReachPx, 20);
    if (fit) blurs.push_back(fit->blur);
  }
  if (blurs.size() < kLeastEdges) return std::nullopt;
  const auto tenth = blurs.begin() + static_cast<std::ptrdiff_t>(blurs.size() / 10);
  std::nth_element(blurs.begin(), tenth, blurs.end());
  return *tenth;
}

double largest_blur(const Picture::Pixels& pixels) {
  return std::max(3.0, 0.002 * std::max(pixels.grey.cols, pixels.grey.rows));
}

}  // namespace spile::vision
