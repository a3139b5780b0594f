#include "vision/band.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/light.hpp"

namespace spile::vision {
namespace {

constexpr double kDark = 1e-4;  // light below which colour means nothing

cv::Mat linear(const cv::Mat& coded) {
  cv::Mat table(1, 256, CV_32F);
  for (int i = 0; i < 256; ++i) table.at<float>(i) = static_cast<float>(light_from_coded(i));
  cv::Mat out(coded.size(), CV_32FC3);
  for (int y = 0; y < coded.rows; ++y) {
    const auto* in = coded.ptr<cv::Vec3b>(y);
    auto* to = out.ptr<cv::Vec3f>(y);
    for (int x = 0; x < coded.cols; ++x)
      for (int c = 0; c < 3; ++c) to[x][c] = table.at<float>(in[x][c]);
  }
  return out;
}

float middle(std::vector<float>& values) {
  const auto half = values.begin() + static_cast<long>(values.size() / 2);
  std::nth_element(values.begin(), half, values.end());
  return *half;
}

}  // namespace

Band cut_band(const Picture::Pixels& pixels, const Plane& plane, const Point2& origin, const Point2& u_axis,
              const Point2& v_axis, double length, double depth, double step) {
  Band band;
  band.origin = origin;
  band.u_axis = u_axis;
  band.v_axis = v_axis;
  band.step = step;
  const cv::Size size(static_cast<int>(length / step), static_cast<int>(depth / step));
  cv::Mat x(size, CV_32F), y(size, CV_32F);
  band.seen = cv::Mat::zeros(size, CV_8UC1);
  cv::Rect2d part;
  for (int row = 0; row < size.height; ++row) {
    for (int col = 0; col < size.width; ++col) {
      const Point2 mm = band.mm(step * (col + 0.5), step * (row + 0.5));
      const Point2 px = plane.px_from_mm({mm.x(), mm.y(), 0});
      x.at<float>(row, col) = static_cast<float>(px.x());
      y.at<float>(row, col) = static_cast<float>(px.y());
      if (px.x() < 1 || px.y() < 1 || px.x() > pixels.grey.cols - 2 || px.y() > pixels.grey.rows - 2)
        continue;
      band.seen.at<std::uint8_t>(row, col) = 1;
      const cv::Rect2d here(px.x() - 2, px.y() - 2, 4, 4);
      part = part.empty() ? here : (part | here);
    }
  }
  band.light = cv::Mat::zeros(size, CV_32FC3);
  if (part.empty()) return band;
  const cv::Rect whole(0, 0, pixels.grey.cols, pixels.grey.rows);
  const cv::Rect rect = cv::Rect(static_cast<int>(part.x), static_cast<int>(part.y),
                                 static_cast<int>(part.width) + 2, static_cast<int>(part.height) + 2) &
                        whole;
  x -= rect.x;
  y -= rect.y;
  cv::remap(linear(pixels.colour(rect)), band.light, x, y, cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  return band;
}

cv::Vec3f white_of(const Band& inside_reference) {
  std::vector<float> sums;
  for (int y = 0; y < inside_reference.light.rows; ++y)
    for (int x = 0; x < inside_reference.light.cols; ++x)
      if (inside_reference.seen.at<std::uint8_t>(y, x)) {
        const auto& p = inside_reference.light.at<cv::Vec3f>(y, x);
        sums.push_back(p[0] + p[1] + p[2]);
      }
  if (sums.size() < 50) return {1, 1, 1};
  const float half = middle(sums);
  std::array<std::vector<float>, 2> ratio;
  for (int y = 0; y < inside_reference.light.rows; ++y)
    for (int x = 0; x < inside_reference.light.cols; ++x) {
      const auto& p = inside_reference.light.at<cv::Vec3f>(y, x);
      if (!inside_reference.seen.at<std::uint8_t>(y, x) || p[0] + p[1] + p[2] < half || p[1] <= 0) continue;
      ratio[0].push_back(p[0] / p[1]);
      ratio[1].push_back(p[2] / p[1]);
    }
  if (ratio[0].empty()) return {1, 1, 1};
  return {middle(ratio[0]), 1, middle(ratio[1])};
}

Tint tint_of(const cv::Vec3f& light, const cv::Vec3f& white) {
  const float dark = static_cast<float>(kDark);
  const float b = std::max(light[0] / white[0], dark), g = std::max(light[1], dark),
              r = std::max(light[2] / white[2], dark);
  return {std::log(r / g), std::log(b / g), std::log((r + g + b) / 3), true};
}

std::vector<Tint> line_across(const Band& band, const cv::Vec3f& white, double v, double height,
                              double lean) {
  const int first = std::max(0, static_cast<int>((v - 0.5 * height) / band.step));
  const int last = std::min(band.light.rows - 1, static_cast<int>((v + 0.5 * height) / band.step));
  std::vector<Tint> out(static_cast<std::size_t>(band.light.cols));
  std::array<std::vector<float>, 3> column;
  for (int x = 0; x < band.light.cols; ++x) {
    for (auto& c : column) c.clear();
    for (int y = first; y <= last; y += 2) {
      const int at = x + static_cast<int>(std::lround((y - v / band.step) * lean));
      if (at < 0 || at >= band.light.cols || !band.seen.at<std::uint8_t>(y, at)) continue;
      const auto& p = band.light.at<cv::Vec3f>(y, at);
      for (std::size_t c = 0; c < 3; ++c) column[c].push_back(p[static_cast<int>(c)]);
    }
    if (column[0].size() < 4) continue;
    out[static_cast<std::size_t>(x)] =
        tint_of({middle(column[0]), middle(column[1]), middle(column[2])}, white);
  }
  return out;
}

}  // namespace spile::vision
