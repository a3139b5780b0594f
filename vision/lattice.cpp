#include "vision/lattice.hpp"

#include <opencv2/imgproc.hpp>

namespace spile::vision {

// cv::resize, since cv::warpAffine knows but 32 places between two points of the lattice. It puts point k at
// 16 k + 7.5; one more all round keeps its repeated edge out of the map.
cv::Mat interpolated_map(const cv::Size& size, const std::function<Eigen::Vector2d(double x, double y)>& at) {
  constexpr int kStep = 16;
  const int cols = (size.width - 1) / kStep + 3, rows = (size.height - 1) / kStep + 3;
  cv::Mat lattice(rows, cols, CV_32FC2), whole;
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < cols; ++c) {
      const Eigen::Vector2d p = at((c - 1) * kStep + 7.5, (r - 1) * kStep + 7.5);
      lattice.at<cv::Vec2f>(r, c) = cv::Vec2f(static_cast<float>(p.x()), static_cast<float>(p.y()));
    }
  }
  cv::resize(lattice, whole, cv::Size(cols * kStep, rows * kStep), 0, 0, cv::INTER_LINEAR);
  return whole(cv::Rect(kStep, kStep, size.width, size.height));
}

}  // namespace spile::vision
