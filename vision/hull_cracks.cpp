// New cracks: thin lines in the later view that the earlier one has not, darker (or lighter) than both sides.
#include <algorithm>
#include <cmath>
#include <deque>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <opencv2/ximgproc.hpp>

#include "vision/hull_changes.hpp"
#include "vision/hull_difference.hpp"

namespace spile::vision {
namespace {

constexpr double kLineMm = 3;    // a line must hold for this far to count
constexpr double kSideMm = 1.1;  // where its sides are read
constexpr int kDirections = 16;
constexpr double kLeastContrast = 0.05;  // of log light
constexpr double kNoises = 6;
constexpr double kLeastLengthMm = 4;
constexpr double kWidestMm = 2.2;
constexpr double kBesideRimMm = 0.5;

// The picture moved by whole cells, its edge repeated.
cv::Mat shifted(const cv::Mat& of, int dx, int dy) {
  const int x = std::abs(dx), y = std::abs(dy);
  cv::Mat wide;
  cv::copyMakeBorder(of, wide, y, y, x, x, cv::BORDER_REPLICATE);
  return wide(cv::Rect(x + dx, y + dy, of.cols, of.rows));
}

struct LineStrength {
  cv::Mat dark, light;  // CV_32FC1: how much darker, lighter than both sides a line through the cell is
};

// In the best of all directions.
LineStrength line_strength(const cv::Mat& difference, double cell_mm) {
  LineStrength out{cv::Mat(difference.size(), CV_32FC1, cv::Scalar(-1)),
                   cv::Mat(difference.size(), CV_32FC1, cv::Scalar(-1))};
  const int reach = static_cast<int>(std::ceil(0.5 * kLineMm / cell_mm));
  cv::Mat wide;
  cv::copyMakeBorder(difference, wide, reach, reach, reach, reach, cv::BORDER_REPLICATE);
  const int samples = std::max(3, static_cast<int>(std::lround(kLineMm / cell_mm / 1.5)) | 1);
  for (int k = 0; k < kDirections; ++k) {
    const double a = std::numbers::pi * k / kDirections;
    const double ux = std::cos(a), uy = std::sin(a);
    cv::Mat along = cv::Mat::zeros(difference.size(), CV_32FC1);
    for (int i = 0; i < samples; ++i) {
      const double t = (static_cast<double>(i) / (samples - 1) - 0.5) * kLineMm / cell_mm;
      const auto dx = static_cast<int>(std::lround(t * ux)), dy = static_cast<int>(std::lround(t * uy));
      along += wide(cv::Rect(reach + dx, reach + dy, along.cols, along.rows));
    }
    along *= 1.0 / samples;
    const auto off_x = static_cast<int>(std::lround(-kSideMm / cell_mm * uy));
    const auto off_y = static_cast<int>(std::lround(kSideMm / cell_mm * ux));
    const cv::Mat one = shifted(along, off_x, off_y), other = shifted(along, -off_x, -off_y);
    const cv::Mat darker = cv::min(one, other) - along, lighter = along - cv::max(one, other);
    out.dark = cv::max(out.dark, darker);
    out.light = cv::max(out.light, lighter);
  }
  return out;
}

double median_where(const cv::Mat& of, const cv::Mat& where) {
  std::vector<float> values;
  for (int r = 0; r < of.rows; ++r)
    for (int c = 0; c < of.cols; ++c)
      if (where.at<uchar>(r, c)) values.push_back(of.at<float>(r, c));
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// A new line is a line of the later view itself, and was none before: the edge of a stain, or an old scratch
// a little out of place, makes a line of the difference only.
bool is_new_line(const HullPair& pair, const cv::Rect& box, const cv::Mat& core, double strength, bool dark) {
  constexpr double kOwnShare = 0.5, kOldShare = 0.4;
  const double cell = pair.later.grid.cell_mm;
  const int margin = static_cast<int>(std::ceil(4 / cell));
  const cv::Rect wide =
      cv::Rect(box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin) &
      cv::Rect(0, 0, pair.later.grid.cols, pair.later.grid.rows);
  const cv::Rect inner(box.x - wide.x, box.y - wide.y, box.width, box.height);
  const LineStrength now = line_strength(luma_of(pair.later.log_light(wide)), cell);
  if (median_where((dark ? now.dark : now.light)(inner), core) < kOwnShare * strength) return false;
  const LineStrength before = line_strength(luma_of(pair.earlier.log_light(wide)), cell);
  cv::Mat old = cv::max(before.dark, before.light);
  const int n = 2 * static_cast<int>(std::ceil(0.7 / cell)) + 1;
  cv::dilate(old, old, cv::Mat::ones(n, n, CV_8UC1));  // wherever it lay within what the match leaves open
  return median_where(old(inner), core) < kOldShare * strength;
}

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

double length_of(const std::vector<Point2>& line) {
  double out = 0;
  for (std::size_t i = 1; i < line.size(); ++i) out += (line[i] - line[i - 1]).norm();
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

// A line that keeps its distance to the opening is its rim, seen a little out of place.
bool goes_round_opening(const std::vector<Point2>& line, double radius_mm) {
  double least = 1e9, most = 0;
  for (const Point2& p : line) {
    least = std::min(least, p.norm());
    most = std::max(most, p.norm());
  }
  return least < radius_mm + 4 && most - least < 0.25 * length_of(line);
}

std::vector<HullChange> lines_of(const HullPair& pair, const Difference& difference, const cv::Mat& strength,
                                 bool dark) {
  const HullGrid& grid = pair.later.grid;
  // Both sides of a line must have been seen, but for the opening, from which cracks start.
  cv::Mat sides;
  const int n_side = 2 * static_cast<int>(std::ceil((kSideMm + 0.5) / grid.cell_mm)) + 1;
  cv::erode(difference.seen | difference.opening, sides,
            cv::getStructuringElement(cv::MORPH_ELLIPSE, {n_side, n_side}), {-1, -1}, 1, cv::BORDER_CONSTANT,
            cv::Scalar(0));
  sides &= difference.seen;
  const cv::Mat noise = local_noise(strength, sides, grid.cell_mm);
  cv::Mat strong = strength > cv::max(kNoises * noise, kLeastContrast);
  cv::Mat weak = strength > cv::max(0.5 * kNoises * noise, 0.5 * kLeastContrast);
  strong &= sides;
  weak &= sides;
  cv::Mat label, stats, centres;
  const int n = cv::connectedComponentsWithStats(weak, label, stats, centres, 8);
  std::vector<HullChange> out;
  for (int i = 1; i < n; ++i) {
    const cv::Rect box(stats.at<int>(i, 0), stats.at<int>(i, 1), stats.at<int>(i, 2), stats.at<int>(i, 3));
    if (std::hypot(box.width, box.height) * grid.cell_mm < kLeastLengthMm) continue;
    cv::Mat mine = label(box) == i;
    if (cv::countNonZero(mine & strong(box)) * grid.cell_mm < 0.5 * kLeastLengthMm) continue;
    // Where the strength falls to half of the line's own, the line ends.
    const cv::Mat core = mine & strong(box);
    const double middle = median_where(strength(box), core);
    if (!is_new_line(pair, box, core, middle, dark)) continue;
    mine &= strength(box) > 0.5 * middle;
    cv::Mat padded, thin;
    cv::copyMakeBorder(mine, padded, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
    cv::ximgproc::thinning(padded, thin);
    auto way = longest_way(thin);
    for (cv::Point& p : way) p += box.tl() - cv::Point(1, 1);
    if (way.size() < 3) continue;
    auto line = course(way, grid, 1.5);
    const double width =
        cv::countNonZero(mine) * grid.cell_mm * grid.cell_mm / std::max(0.1, length_of(line));
    if (length_of(line) < kLeastLengthMm) continue;
    ends_mended(line, width, pair.radius_mm);
    const double length = length_of(line);
    if (width > kWidestMm || goes_round_opening(line, pair.radius_mm)) continue;
    if ((line.front() - line.back()).norm() < 0.4 * length) continue;  // goes round something
    HullChange crack{"crack", line, length, 0, std::hypot(0.35, 0.02 * length)};
    out.push_back(crack);
  }
  return out;
}

}  // namespace

std::vector<HullChange> new_cracks(const HullPair& pair) {
  const Difference difference = difference_of(pair, kBesideRimMm);
  const LineStrength strength = line_strength(difference.luma, pair.later.grid.cell_mm);
  std::vector<HullChange> out = lines_of(pair, difference, strength.dark, true);
  for (HullChange& lighter : lines_of(pair, difference, strength.light, false))
    out.push_back(std::move(lighter));
  return out;
}

std::vector<HullChange> without_edges_of(const std::vector<HullChange>& patches,
                                         std::vector<HullChange> cracks) {
  constexpr double kNearMm = 2;
  const auto near_patch = [&](const Point2& p) {
    for (const HullChange& patch : patches)
      for (const Point2& q : patch.points)
        if ((p - q).norm() < kNearMm) return true;
    return false;
  };
  std::erase_if(cracks, [&](const HullChange& crack) {
    const auto near = std::count_if(crack.points.begin(), crack.points.end(), near_patch);
    return 2 * static_cast<std::size_t>(near) > crack.points.size();
  });
  return cracks;
}

}  // namespace spile::vision
