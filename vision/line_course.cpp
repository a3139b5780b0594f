#include "vision/line_course.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <opencv2/imgproc.hpp>
#include <opencv2/ximgproc.hpp>

namespace spile::vision {
namespace {

// The longest way through a thin line of cells, end to end.
std::vector<cv::Point> longest_way(const cv::Mat& thin) {
  const auto farthest = [&](const cv::Point& from, cv::Mat& back) {
    back = cv::Mat(thin.size(), CV_32SC1, cv::Scalar(-1));
    std::deque<cv::Point> queue{from};
    back.at<int>(from) = from.y * thin.cols + from.x;
    cv::Point last = from;
    while (!queue.empty()) {
      last = queue.front();
      queue.pop_front();
      for (int dy = -1; dy <= 1; ++dy) {
        for (int dx = -1; dx <= 1; ++dx) {
          const cv::Point next(last.x + dx, last.y + dy);
          if (!cv::Rect(0, 0, thin.cols, thin.rows).contains(next)) continue;
          if (thin.at<uchar>(next) == 0 || back.at<int>(next) >= 0) continue;
          back.at<int>(next) = last.y * thin.cols + last.x;
          queue.push_back(next);
        }
      }
    }
    return last;
  };
  std::vector<cv::Point> all;
  cv::findNonZero(thin, all);
  if (all.empty()) return {};
  cv::Mat back;
  const cv::Point one_end = farthest(all.front(), back), other = farthest(one_end, back);
  std::vector<cv::Point> way{other};
  while (way.back() != one_end) {
    const int before = back.at<int>(way.back());
    way.emplace_back(before % thin.cols, before / thin.cols);
  }
  return way;
}

// The way as a polyline with a point about every `step_mm`: steps between cells are longer than the line
// itself.
std::vector<Point2> course(const std::vector<cv::Point>& way, const HullGrid& grid, double step_mm) {
  std::vector<Point2> out;
  const auto n = static_cast<int>(way.size());
  const int step = std::max(1, static_cast<int>(std::lround(step_mm / grid.cell_mm)));
  const int pieces = std::max(1, (n - 1) / step);
  for (int i = 0; i <= pieces; ++i) {
    const int at = static_cast<int>(std::lround(static_cast<double>(i) * (n - 1) / pieces));
    const int reach = i == 0 || i == pieces ? 0 : step / 2;
    Point2 sum = Point2::Zero();
    for (int j = at - reach; j <= at + reach; ++j) {
      const cv::Point& p = way[static_cast<std::size_t>(std::clamp(j, 0, n - 1))];
      sum += grid.mm_of(p.x, p.y);
    }
    out.push_back(sum / (2 * reach + 1));
  }
  return out;
}

// Thinning eats half a width off each end; and a crack that stops just short of the opening starts at its
// rim, beside which nothing can be told.
void ends_mended(std::vector<Point2>& line, double width_mm, double radius_mm) {
  constexpr double kNearRimMm = 1.6;
  for (const bool front : {true, false}) {
    Point2& end = front ? line.front() : line.back();
    const Point2& next = front ? line[1] : line[line.size() - 2];
    if (std::abs(end.norm() - radius_mm) < kNearRimMm) {
      end *= radius_mm / end.norm();
    } else if ((end - next).norm() > 0) {
      end += 0.5 * width_mm * (end - next).normalized();
    }
  }
}

}  // namespace

double length_of(const std::vector<Point2>& line) {
  double out = 0;
  for (std::size_t i = 1; i < line.size(); ++i) out += (line[i] - line[i - 1]).norm();
  return out;
}

std::vector<Point2> course_of(const cv::Mat& mask, const HullGrid& grid, double radius_mm) {
  constexpr double kStepMm = 1.5;
  cv::Mat padded, thin;
  cv::copyMakeBorder(mask, padded, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::ximgproc::thinning(padded, thin);
  auto way = longest_way(thin);
  if (way.size() < 3) return {};
  for (cv::Point& p : way) p -= cv::Point(1, 1);
  auto line = course(way, grid, kStepMm);
  const double width = cv::countNonZero(mask) * grid.cell_mm * grid.cell_mm / std::max(0.1, length_of(line));
  ends_mended(line, width, radius_mm);
  return line;
}

}  // namespace spile::vision
