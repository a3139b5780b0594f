#include "plain_methods.hpp"

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace spile::bench {

namespace {

constexpr double kLeast = 0.7, kMost = 1.4;  // of the radius that is roughly known

std::optional<double> by_hough(const cv::Mat& grey) {
  cv::Mat soft;
  cv::GaussianBlur(grey, soft, {}, 1.2);
  for (const double votes : {60.0, 35.0, 20.0, 12.0}) {
    std::vector<cv::Vec3f> circles;
    cv::HoughCircles(soft, circles, cv::HOUGH_GRADIENT, 1, kPlainSide, 100, votes,
                     cvRound(kLeast * kPlainRadius), cvRound(kMost * kPlainRadius));
    if (!circles.empty()) return static_cast<double>(circles.front()[2]);
  }
  return std::nullopt;
}

std::optional<double> by_ellipse(const cv::Mat& grey) {
  std::optional<double> best;
  const cv::Point2f middle(kPlainSide / 2.0F, kPlainSide / 2.0F);
  for (const int way : {cv::THRESH_BINARY, cv::THRESH_BINARY_INV}) {
    cv::Mat mask;
    cv::threshold(grey, mask, 0, 255, way | cv::THRESH_OTSU);
    std::vector<std::vector<cv::Point>> outlines;
    cv::findContours(mask, outlines, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    for (const auto& outline : outlines) {
      if (outline.size() < 50 || cv::pointPolygonTest(outline, middle, false) < 0) continue;
      const cv::RotatedRect fit = cv::fitEllipse(outline);
      const double radius = static_cast<double>(fit.size.width + fit.size.height) / 4;
      const bool likely = radius > kLeast * kPlainRadius && radius < kMost * kPlainRadius;
      if (likely && (!best || std::abs(radius - kPlainRadius) < std::abs(*best - kPlainRadius)))
        best = radius;
    }
  }
  return best;
}

}  // namespace

PlainRadii plain_radii(const cv::Mat& grey) {
  return {by_hough(grey), by_ellipse(grey)};
}

cv::Mat plain_view(const cv::Mat& grey, const std::function<cv::Point2d(double, double)>& photo_from_radii) {
  cv::Mat x(kPlainSide, kPlainSide, CV_32FC1), y = x.clone(), view;
  for (int row = 0; row < kPlainSide; ++row)
    for (int column = 0; column < kPlainSide; ++column) {
      constexpr double kMiddle = 0.5 * (kPlainSide - 1);
      const cv::Point2d at =
          photo_from_radii((column - kMiddle) / kPlainRadius, (row - kMiddle) / kPlainRadius);
      x.at<float>(row, column) = static_cast<float>(at.x);
      y.at<float>(row, column) = static_cast<float>(at.y);
    }
  cv::remap(grey, view, x, y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  return view;
}

}  // namespace spile::bench
