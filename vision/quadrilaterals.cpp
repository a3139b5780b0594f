#include "vision/quadrilaterals.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

constexpr double kLeastShare = 0.004;  // of the picture
constexpr double kFilled = 0.93;  // of its quadrilateral that a region covers; a card's corners are rounded
constexpr int kLevels = 12;

double area_of(const Quadrilateral& q) {
  double sum = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point2 &a = q[i], &b = q[(i + 1) % 4];
    sum += a.x() * b.y() - b.x() * a.y();
  }
  return sum / 2;
}

// The four longest stretches of a hull as lines, and where they meet.
std::optional<Quadrilateral> quadrilateral_of(const std::vector<cv::Point>& contour) {
  std::vector<cv::Point> hull, corners;
  cv::convexHull(contour, hull, true);
  const double around = cv::arcLength(hull, true);
  for (double slack = 0.02; slack < 0.09; slack += 0.01) {
    cv::approxPolyDP(hull, corners, slack * around, true);
    if (corners.size() <= 4) break;
  }
  if (corners.size() != 4) return std::nullopt;
  Quadrilateral out;
  for (std::size_t i = 0; i < 4; ++i) out[i] = Point2(corners[i].x, corners[i].y);
  if (area_of(out) < 0) std::reverse(out.begin(), out.end());
  return out;
}

bool touches_border(const std::vector<cv::Point>& contour, const cv::Size& size) {
  const cv::Rect box = cv::boundingRect(contour);
  return box.x <= 1 || box.y <= 1 || box.x + box.width >= size.width - 1 ||
         box.y + box.height >= size.height - 1;
}

void add_from(const cv::Mat& mask, double scale, std::vector<Quadrilateral>& out) {
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_SIMPLE);
  const double least = kLeastShare * mask.cols * mask.rows;
  for (const auto& contour : contours) {
    const double area = cv::contourArea(contour);
    if (area < least || touches_border(contour, mask.size())) continue;
    auto quad = quadrilateral_of(contour);
    if (!quad || area < kFilled * area_of(*quad) || area > 1.1 * area_of(*quad)) continue;
    for (Point2& p : *quad) p = scale * p + Point2::Constant(0.5 * (scale - 1));
    const double side = std::sqrt(area_of(*quad));
    const bool known = std::any_of(out.begin(), out.end(), [&](const Quadrilateral& other) {
      double away = 0;
      for (const Point2& p : *quad) {
        double nearest = 1e9;
        for (const Point2& q : other) nearest = std::min(nearest, (p - q).norm());
        away = std::max(away, nearest);
      }
      return away < 0.05 * side;
    });
    if (!known) out.push_back(*quad);
  }
}

}  // namespace

bool encloses(const Quadrilateral& quad, const Point2& px) {
  for (std::size_t i = 0; i < 4; ++i) {
    const Point2 along = quad[(i + 1) % 4] - quad[i], to = px - quad[i];
    if (along.x() * to.y() - along.y() * to.x() < 0) return false;
  }
  return true;
}

std::vector<Quadrilateral> find_quadrilaterals(const Picture::Pixels& pixels,
                                               const std::optional<Point2>& at) {
  const int side = std::max(pixels.grey.cols, pixels.grey.rows);
  const double scale = side > 2600 ? 4 : side > 1300 ? 2 : 1;
  cv::Mat small;
  cv::GaussianBlur(scale == 4   ? pixels.quarter()
                   : scale == 2 ? pixels.half()
                                : pixels.grey,
                   small, {0, 0}, 1.2);
  std::vector<Quadrilateral> out;
  cv::Mat mask;
  const cv::Mat kernel = cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5});
  for (int k = 1; k < kLevels; ++k) {
    cv::threshold(small, mask, 255.0 * k / kLevels, 255, cv::THRESH_BINARY);
    for (const bool bright : {true, false}) {
      cv::Mat part = bright ? mask : cv::Mat(255 - mask);
      cv::morphologyEx(part, part, cv::MORPH_OPEN, kernel);
      add_from(part, scale, out);
    }
  }
  if (at) {
    const cv::Point seed(static_cast<int>((at->x() - 0.5 * (scale - 1)) / scale),
                         static_cast<int>((at->y() - 0.5 * (scale - 1)) / scale));
    for (const int room : {2, 4, 7, 11, 16}) {
      if (!cv::Rect({0, 0}, small.size()).contains(seed)) break;
      cv::Mat filled = cv::Mat::zeros(small.rows + 2, small.cols + 2, CV_8UC1);
      cv::floodFill(small, filled, seed, 255, nullptr, room, room, 4 | (255 << 8) | cv::FLOODFILL_MASK_ONLY);
      cv::Mat part = filled(cv::Rect(1, 1, small.cols, small.rows)).clone();
      cv::morphologyEx(part, part, cv::MORPH_CLOSE, kernel);
      cv::morphologyEx(part, part, cv::MORPH_OPEN, kernel);
      add_from(part, scale, out);
    }
    std::erase_if(out, [&](const Quadrilateral& q) { return !encloses(q, *at); });
  }
  std::sort(out.begin(), out.end(),
            [](const Quadrilateral& a, const Quadrilateral& b) { return area_of(a) > area_of(b); });
  return out;
}

}  // namespace spile::vision
