#include "vision/hull_patch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

cv::Vec3f median_of(const cv::Mat& of, const cv::Mat& where) {
  cv::Vec3f out;
  std::array<std::vector<float>, 3> values;
  for (int r = 0; r < of.rows; ++r) {
    for (int c = 0; c < of.cols; ++c) {
      if (where.at<uchar>(r, c) == 0) continue;
      for (int k = 0; k < 3; ++k) values[static_cast<std::size_t>(k)].push_back(of.at<cv::Vec3f>(r, c)[k]);
    }
  }
  for (int k = 0; k < 3; ++k) {
    auto& v = values[static_cast<std::size_t>(k)];
    if (v.empty()) return out;
    std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
    out[k] = v[v.size() / 2];
  }
  return out;
}

// Half the middle 68 %: a normal standard deviation that strays do not move.
double spread_in(const cv::Mat& of, const cv::Mat& where) {
  std::vector<float> values;
  for (int r = 0; r < of.rows; ++r)
    for (int c = 0; c < of.cols; ++c)
      if (where.at<uchar>(r, c)) values.push_back(of.at<float>(r, c));
  if (values.size() < 10) return 1;
  const auto at = [&](double share) {
    const auto it =
        values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), it, values.end());
    return static_cast<double>(*it);
  };
  return 0.5 * (at(0.84) - at(0.16));
}

cv::Mat part_touching(const cv::Mat& mask, const cv::Mat& seed) {
  cv::Mat label;
  const int n = cv::connectedComponents(mask, label, 8);
  std::vector<int> hits(static_cast<std::size_t>(n), 0);
  for (int r = 0; r < mask.rows; ++r)
    for (int c = 0; c < mask.cols; ++c)
      if (seed.at<uchar>(r, c) && mask.at<uchar>(r, c)) ++hits[static_cast<std::size_t>(label.at<int>(r, c))];
  const auto best = std::max_element(hits.begin() + 1, hits.end());
  if (n < 2 || *best == 0) return cv::Mat::zeros(mask.size(), CV_8UC1);
  return label == static_cast<int>(best - hits.begin());
}

cv::Mat holes_closed(const cv::Mat& mask) {
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  cv::Mat out = cv::Mat::zeros(mask.size(), CV_8UC1);
  cv::drawContours(out, contours, -1, cv::Scalar(255), cv::FILLED);
  return out;
}

}  // namespace

std::vector<Point2> outline_of(const cv::Mat& mask, const HullGrid& grid) {
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  std::vector<Point2> out;
  if (contours.empty()) return out;
  const auto largest = std::max_element(contours.begin(), contours.end(), [](const auto& a, const auto& b) {
    return cv::contourArea(a) < cv::contourArea(b);
  });
  for (const cv::Point& p : *largest) out.push_back(grid.mm_of(p.x, p.y));
  return out;
}

double roundness_of(const std::vector<Point2>& outline, double area_mm2) {
  double widest = 0;
  for (std::size_t i = 0; i < outline.size(); i += 2)
    for (std::size_t j = i + 1; j < outline.size(); j += 2)
      widest = std::max(widest, (outline[i] - outline[j]).norm());
  return widest > 0 ? area_mm2 / (0.25 * std::numbers::pi * widest * widest) : 0;
}

// Worked out only round the mask: it is small on a large grid.
cv::Mat grown(const cv::Mat& mask, double mm, double cell_mm) {
  cv::Mat out = cv::Mat::zeros(mask.size(), CV_8UC1), away;
  const int margin = static_cast<int>(std::ceil(mm / cell_mm)) + 1;
  cv::Rect box = cv::boundingRect(mask);
  if (box.empty()) return out;
  box -= cv::Point(margin, margin);
  box += cv::Size(2 * margin, 2 * margin);
  box &= cv::Rect(0, 0, mask.cols, mask.rows);
  cv::distanceTransform(mask(box) == 0, away, cv::DIST_L2, cv::DIST_MASK_5);
  cv::Mat(away <= mm / cell_mm).copyTo(out(box));
  return out;
}

Patch patch_at(const HullView& view, const cv::Mat& seed, const cv::Mat& seen) {
  const double cell = view.grid.cell_mm;
  Patch out;
  cv::Rect box = cv::boundingRect(seed);
  if (box.empty()) return out;
  const int margin = static_cast<int>(std::ceil(9 / cell));
  box = cv::Rect(box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin) &
        cv::Rect(0, 0, seed.cols, seed.rows);
  cv::Mat smooth;
  cv::GaussianBlur(view.log_light(box), smooth, cv::Size(), std::max(0.6, 0.25 / cell));
  const cv::Mat inner = seed(box), about = seen(box);
  const cv::Mat ring = grown(inner, 5, cell) & ~grown(inner, 1.8, cell) & about;
  if (cv::countNonZero(ring) < 50 || cv::countNonZero(inner) < 10) return out;
  const cv::Vec3f hull = median_of(smooth, ring), heart = median_of(smooth, inner);
  const cv::Vec3f way = heart - hull;
  const float length2 = way.dot(way);
  out.contrast = std::sqrt(length2);
  out.heart_less_hull = way;
  if (length2 < 1e-6F) return out;
  cv::Mat share;
  cv::transform(smooth, share,
                cv::Matx14f(way[0] / length2, way[1] / length2, way[2] / length2, -hull.dot(way) / length2));
  out.unevenness = spread_in(share, ring);
  cv::Mat mask = (share > 0.5) & (about | inner);
  mask = holes_closed(part_touching(mask, inner));
  // Width of the change, from how much of a thin band lies neither clearly in nor clearly out.
  const cv::Mat between = (share > 0.2) & (share < 0.8) & grown(mask, 2, cell);
  const auto outline = outline_of(mask, view.grid);
  for (std::size_t i = 1; i < outline.size(); ++i) out.perimeter_mm += (outline[i] - outline[i - 1]).norm();
  out.perimeter_mm *= 0.95;  // a way from cell to cell is longer than the line it follows
  out.area_mm2 = cv::countNonZero(mask) * cell * cell;
  out.edge_mm = out.perimeter_mm > 0 ? cv::countNonZero(between) * cell * cell / out.perimeter_mm : 0;
  out.mask = cv::Mat::zeros(seed.size(), CV_8UC1);
  mask.copyTo(out.mask(box));
  return out;
}

cv::Mat seed_before(const HullView& earlier, const Patch& now, const cv::Mat& seen) {
  constexpr float kFaint = 0.1F;  // of log light, along the later stain's own direction
  const double cell = earlier.grid.cell_mm;
  const cv::Mat ring = grown(now.mask, 5, cell) & ~grown(now.mask, 1.8, cell) & seen;
  cv::Mat none = cv::Mat::zeros(now.mask.size(), CV_8UC1);
  if (cv::countNonZero(ring) < 50) return none;
  cv::Mat smooth, along;
  cv::GaussianBlur(earlier.log_light, smooth, cv::Size(), std::max(0.6, 0.25 / cell));
  const cv::Vec3f hull = median_of(smooth, ring);
  const cv::Vec3f way = now.heart_less_hull / static_cast<float>(cv::norm(now.heart_less_hull));
  cv::transform(smooth, along, cv::Matx14f(way[0], way[1], way[2], -hull.dot(way)));
  std::vector<float> inside;
  for (int r = 0; r < along.rows; ++r)
    for (int c = 0; c < along.cols; ++c)
      if (now.mask.at<uchar>(r, c)) inside.push_back(along.at<float>(r, c));
  if (inside.size() < 20) return none;
  const auto high = inside.begin() + static_cast<std::ptrdiff_t>(inside.size() * 95 / 100);
  std::nth_element(inside.begin(), high, inside.end());
  return *high < kFaint ? none : cv::Mat((along > 0.5F * *high) & now.mask);
}

SidesSeen sides_of(const HullView& view, const Patch& patch, const std::vector<Point2>& outline,
                   const cv::Mat& seen) {
  constexpr double kOutMm = 1.5;
  constexpr int kSectors = 16;
  const HullGrid& grid = view.grid;
  const cv::Mat around =
      grown(patch.mask, 2 * kOutMm, grid.cell_mm) & ~grown(patch.mask, 0.5 * kOutMm, grid.cell_mm);
  Point2 middle = Point2::Zero();
  for (const Point2& p : outline) middle += p / static_cast<double>(outline.size());
  const cv::Vec3f& heart_less_hull = patch.heart_less_hull;
  const float length2 = heart_less_hull.dot(heart_less_hull);
  cv::Mat inner;
  cv::erode(patch.mask, inner, cv::Mat::ones(3, 3, CV_8UC1));
  const cv::Vec3f heart = median_of(view.log_light, inner);
  std::array<std::vector<float>, kSectors> share;
  for (int r = 0; r < around.rows; ++r) {
    for (int c = 0; c < around.cols; ++c) {
      if (around.at<uchar>(r, c) == 0 || seen.at<uchar>(r, c) == 0) continue;
      const Point2 to = grid.mm_of(c, r) - middle;
      const int sector =
          static_cast<int>((std::atan2(to.y(), to.x()) / (2 * std::numbers::pi) + 0.5) * kSectors) % kSectors;
      const cv::Vec3f off = heart - view.log_light.at<cv::Vec3f>(r, c);
      share[static_cast<std::size_t>(sector)].push_back(off.dot(heart_less_hull) / length2);
    }
  }
  SidesSeen out;
  for (auto& s : share) {
    if (s.size() < 4) continue;
    ++out.told;
    std::nth_element(s.begin(), s.begin() + static_cast<std::ptrdiff_t>(s.size() / 2), s.end());
    if (s[s.size() / 2] > 0.5F) out.standing_out += 1;
  }
  if (out.told > 0) out.standing_out /= out.told;
  return out;
}

double solidity_of(const Patch& patch, double cell_mm) {
  std::vector<cv::Point> cells, hull;
  cv::findNonZero(patch.mask, cells);
  if (cells.size() < 3) return 0;
  cv::convexHull(cells, hull);
  return patch.area_mm2 / std::max(1.0, cv::contourArea(hull) * cell_mm * cell_mm);
}

}  // namespace spile::vision
