// New cracks: thin lines in the later view that the earlier one has not, darker (or lighter) than both sides.
// Looked for coarsely over all of the hull, then measured on fine cells where they are.
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/hull_changes.hpp"
#include "vision/hull_difference.hpp"
#include "vision/line_course.hpp"
#include "vision/line_strength.hpp"

namespace spile::vision {
namespace {

constexpr double kLeastContrast = 0.05;  // of log light
constexpr double kNoises = 6;
constexpr double kLeastLengthMm = 4;
constexpr double kWidestMm = 2.2;
constexpr double kBesideRimMm = 0.5;
constexpr double kMarginMm = 4;  // about a line, so that its sides and ends are seen on the fine cells

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

// Both sides of a line must have been seen, but for the opening, from which cracks start.
cv::Mat sides_seen(const LineDifference& difference, double cell_mm) {
  const int n = 2 * static_cast<int>(std::ceil((kSideMm + 0.5) / cell_mm)) + 1;
  cv::Mat out;
  cv::erode(difference.seen | difference.opening, out, cv::getStructuringElement(cv::MORPH_ELLIPSE, {n, n}),
            {-1, -1}, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  return out & difference.seen;
}

const cv::Mat& of_kind(const LineStrength& strength, bool dark) {
  return dark ? strength.dark : strength.light;
}

// A new line is a line of the later view itself, and was none before: the edge of a stain, or an old scratch
// a little out of place, makes a line of the difference only.
bool is_new_line(const HullPair& pair, const cv::Mat& core, double strength, bool dark) {
  constexpr double kOwnShare = 0.5, kOldShare = 0.4;
  const double cell = pair.later.grid.cell_mm;
  const LineStrength now = line_strength(luma_of(pair.later.log_light), cell);
  if (median_where(of_kind(now, dark), core) < kOwnShare * strength) return false;
  const LineStrength before = line_strength(luma_of(pair.earlier.log_light), cell);
  cv::Mat old = cv::max(before.dark, before.light);
  const int n = 2 * static_cast<int>(std::ceil(0.7 / cell)) + 1;
  cv::dilate(old, old, cv::Mat::ones(n, n, CV_8UC1));  // wherever it lay within what the match leaves open
  return median_where(old, core) < kOldShare * strength;
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

// Cells of the coarse grid on the fine one.
cv::Mat on_grid(const cv::Mat& cells, const cv::Rect& box, const HullGrid& from, const HullGrid& to) {
  const Point2 corner = to.cell_of(from.mm_of(box.x, box.y));
  const double scale = from.cell_mm / to.cell_mm;
  cv::Mat out;
  cv::warpAffine(cells, out, cv::Matx23d(scale, 0, corner.x(), 0, scale, corner.y()),
                 cv::Size(to.cols, to.rows), cv::INTER_NEAREST, cv::BORDER_CONSTANT);
  return out;
}

// The connected part of `mask` that holds most of `core`.
cv::Mat part_with_most(const cv::Mat& core, const cv::Mat& mask) {
  cv::Mat label;
  const int n = cv::connectedComponents(mask, label, 8);
  std::vector<int> held(static_cast<std::size_t>(n), 0);
  for (int r = 0; r < core.rows; ++r)
    for (int c = 0; c < core.cols; ++c)
      if (core.at<uchar>(r, c)) ++held[static_cast<std::size_t>(label.at<int>(r, c))];
  held.front() = -1;  // what is not in the mask
  return label == static_cast<int>(std::max_element(held.begin(), held.end()) - held.begin());
}

// Where the strength falls to half of the line's own, the line ends.
std::optional<HullChange> measured(const HullPair& fine, const cv::Mat& core, bool dark) {
  const HullGrid& grid = fine.later.grid;
  const LineDifference difference = line_difference(fine, kBesideRimMm);
  const LineStrength found = line_strength(difference.luma, grid.cell_mm);
  const cv::Mat& strength = of_kind(found, dark);
  const double own = median_where(strength, core);
  if (own <= 0 || !is_new_line(fine, core, own, dark)) return std::nullopt;
  const cv::Mat mine = part_with_most(core, (strength > 0.5 * own) & sides_seen(difference, grid.cell_mm));
  const auto line = course_of(mine, grid, fine.radius_mm);
  const double length = length_of(line);
  if (length < kLeastLengthMm || goes_round_opening(line, fine.radius_mm)) return std::nullopt;
  if (cv::countNonZero(mine) * grid.cell_mm * grid.cell_mm > kWidestMm * length) return std::nullopt;
  if ((line.front() - line.back()).norm() < 0.4 * length) return std::nullopt;  // goes round something
  return HullChange{"crack", line, length, 0, std::hypot(0.35, 0.02 * length)};
}

std::vector<HullChange> lines_of(const HullPair& pair, const FinePair& fine, const LineDifference& difference,
                                 const cv::Mat& strength, bool dark) {
  const HullGrid& grid = pair.later.grid;
  const cv::Mat sides = sides_seen(difference, grid.cell_mm);
  const cv::Mat noise = local_noise(strength, sides, grid.cell_mm);
  const cv::Mat strong = (strength > cv::max(kNoises * noise, kLeastContrast)) & sides;
  const cv::Mat weak = (strength > cv::max(0.5 * kNoises * noise, 0.5 * kLeastContrast)) & sides;
  cv::Mat label, stats, centres;
  const int n = cv::connectedComponentsWithStats(weak, label, stats, centres, 8);
  std::vector<HullChange> out;
  for (int i = 1; i < n; ++i) {
    const cv::Rect box(stats.at<int>(i, 0), stats.at<int>(i, 1), stats.at<int>(i, 2), stats.at<int>(i, 3));
    if (std::hypot(box.width, box.height) * grid.cell_mm < kLeastLengthMm) continue;
    const cv::Mat core = (label(box) == i) & strong(box);
    if (cv::countNonZero(core) * grid.cell_mm < 0.5 * kLeastLengthMm) continue;
    const HullPair here = fine(box, kMarginMm);
    if (auto crack = measured(here, on_grid(core, box, grid, here.later.grid), dark))
      out.push_back(*std::move(crack));
  }
  return out;
}

bool lies_on(const HullChange& line, const HullChange& other) {
  constexpr double kNearMm = 2;
  const auto near = [&](const Point2& p) {
    return std::any_of(other.points.begin(), other.points.end(),
                       [&](const Point2& q) { return (p - q).norm() < kNearMm; });
  };
  return 2 * std::count_if(line.points.begin(), line.points.end(), near) >
         static_cast<std::ptrdiff_t>(line.points.size());
}

}  // namespace

std::vector<HullChange> new_cracks(const HullPair& pair, const FinePair& fine) {
  const LineDifference difference = line_difference(pair, kBesideRimMm);
  const LineStrength strength = line_strength(difference.luma, pair.later.grid.cell_mm);
  std::vector<HullChange> all = lines_of(pair, fine, difference, strength.dark, true);
  for (HullChange& lighter : lines_of(pair, fine, difference, strength.light, false))
    all.push_back(std::move(lighter));
  std::stable_sort(all.begin(), all.end(),
                   [](const HullChange& a, const HullChange& b) { return a.size > b.size; });
  // Sharpening draws a light line beside a dark one: both are the one crack.
  std::vector<HullChange> out;
  for (HullChange& crack : all)
    if (std::none_of(out.begin(), out.end(), [&](const HullChange& o) { return lies_on(crack, o); }))
      out.push_back(std::move(crack));
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
