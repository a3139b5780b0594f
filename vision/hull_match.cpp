#include "vision/hull_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <future>
#include <numbers>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kTurnStepDeg = 1.5;
constexpr int kTurnsKept = 4;
constexpr double kSameSize = 0.05;  // openings whose diameters differ by more are not the same one
constexpr double kPatchMm = 13, kPatchStepMm = 8;
constexpr double kLeastAlike = 0.55;  // correlation of a patch with its counterpart
constexpr int kLeastPatches = 8;
// Chance makes a dozen patches of a wrong turn agree on the coarse grid, and hardly any on the finest.
constexpr int kTrusted = 16;
constexpr double kLeastAgreeing = 0.12;

// What is on the hull, freed of light: the logarithm of luma less its surroundings, over their contrast.
struct Detail {
  cv::Mat value;  // CV_32FC1, zero where not seen
  cv::Mat seen;   // CV_32FC1, 0..1
};

Detail detail_of(const HullLuma& view, const HullGrid& grid, double opening_radius_mm) {
  constexpr double kSurroundingsMm = 7, kLeastContrast = 0.02;
  const double cell = grid.cell_mm;
  const cv::Mat& luma = view.log_light;
  const cv::Mat seen = view.seen & ~opening_cells(grid, opening_radius_mm + 1.5);
  Detail out;
  seen.convertTo(out.seen, CV_32FC1, 1.0 / 255);
  const double sigma = kSurroundingsMm / cell;
  const cv::Mat weight = widely_blurred(out.seen, sigma) + 1e-3;
  cv::Mat smooth = blurred(luma.mul(out.seen), std::max(0.8, 0.5 / cell)) /
                   (blurred(out.seen, std::max(0.8, 0.5 / cell)) + 1e-3);
  cv::Mat mean = widely_blurred(smooth.mul(out.seen), sigma) / weight;
  cv::Mat off = (smooth - mean).mul(out.seen);
  cv::Mat spread;
  cv::sqrt(widely_blurred(off.mul(off), sigma) / weight + kLeastContrast * kLeastContrast, spread);
  out.value = off / spread;
  return out;
}

// A detail on rings about the opening: a row for each direction, a column for each radius.
struct Rings {
  cv::Mat value, square, seen;  // value and its square times what was seen of it
};

Rings rings_of(const Detail& detail, int directions) {
  const float middle_x = 0.5F * static_cast<float>(detail.value.cols - 1),
              middle_y = 0.5F * static_cast<float>(detail.value.rows - 1);
  const int radii = detail.value.cols / 2;
  cv::Mat map(directions, radii, CV_32FC2);
  for (int d = 0; d < directions; ++d) {
    const double a = 2 * std::numbers::pi * d / directions;
    const auto x = static_cast<float>(std::cos(a)), y = static_cast<float>(-std::sin(a));
    for (int r = 0; r < radii; ++r)
      map.at<cv::Vec2f>(d, r) =
          cv::Vec2f(middle_x + x * static_cast<float>(r), middle_y + y * static_cast<float>(r));
  }
  cv::Mat value;
  Rings out;
  cv::remap(detail.value, value, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  cv::remap(detail.seen, out.seen, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  out.value = value.mul(out.seen);
  out.square = out.value.mul(value);
  return out;
}

// A ring counts by its length.
void weighed_by_radius(Rings& rings) {
  for (cv::Mat* of : {&rings.value, &rings.square, &rings.seen})
    for (int r = 0; r < of->cols; ++r) of->col(r) *= r;
}

void twice_round(Rings& rings) {
  for (cv::Mat* of : {&rings.value, &rings.square, &rings.seen}) cv::vconcat(*of, *of, *of);
}

Eigen::Matrix3d rigid(const Point2& shift, double degrees) {
  const double a = degrees * std::numbers::pi / 180;
  Eigen::Matrix3d out;
  out << std::cos(a), -std::sin(a), shift.x(), std::sin(a), std::cos(a), shift.y(), 0, 0, 1;
  return out;
}

struct Turn {
  double degrees = 0, alike = 0;
};

std::vector<Turn> best_of(const std::vector<Turn>& all) {
  std::vector<Turn> peaks;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Turn &before = all[(i + all.size() - 1) % all.size()], &after = all[(i + 1) % all.size()];
    if (all[i].alike >= before.alike && all[i].alike > after.alike) peaks.push_back(all[i]);
  }
  std::sort(peaks.begin(), peaks.end(), [](const Turn& a, const Turn& b) { return a.alike > b.alike; });
  if (peaks.size() > kTurnsKept) peaks.resize(kTurnsKept);
  return peaks;
}

// The turns of the earlier photo about the opening at which the hull looks most alike, best first: the
// correlation of the two where both are seen, for each turn.
std::vector<Turn> likely_turns(const Detail& earlier, const Detail& later) {
  constexpr int kDirections = static_cast<int>(360 / kTurnStepDeg);
  constexpr double kLeastArea = 400 / (kTurnStepDeg * std::numbers::pi / 180);  // of 400 mm2 at one cell a mm
  Rings a = rings_of(earlier, kDirections), b = rings_of(later, kDirections);
  weighed_by_radius(b);
  twice_round(a);
  std::vector<Turn> all;
  for (int turn = 0; turn < kDirections; ++turn) {
    // Turned by so much against the clock, what was at a direction is now so many further on.
    const cv::Range rows(kDirections - turn, 2 * kDirections - turn);
    const auto seen = a.seen.rowRange(rows).dot(b.seen);
    const double ab = a.value.rowRange(rows).dot(b.value), aa = a.square.rowRange(rows).dot(b.seen),
                 bb = a.seen.rowRange(rows).dot(b.square);
    const bool enough = seen >= kLeastArea && aa > 0 && bb > 0;
    all.push_back({turn * kTurnStepDeg, enough ? ab / std::sqrt(aa * bb) : -1});
  }
  return best_of(all);
}

// Where a patch of the later photo lies in the earlier one: grid mm to grid mm.
struct Pair {
  Point2 later = Point2::Zero(), earlier = Point2::Zero();
};
struct Pairs {
  std::vector<Pair> alike;
  int with_something = 0;  // patches that have something on them to tell by
};

double beside(double before, double at, double after) {
  const double bend = before - 2 * at + after;
  return bend < 0 ? 0.5 * (before - after) / bend : 0;
}

Pairs paired_patches(const Detail& earlier, const Detail& later, const HullGrid& grid, double search_mm) {
  const int half = static_cast<int>(std::lround(0.5 * kPatchMm / grid.cell_mm));
  const int search = static_cast<int>(std::ceil(search_mm / grid.cell_mm));
  const int step = std::max(1, static_cast<int>(std::lround(kPatchStepMm / grid.cell_mm)));
  constexpr double kLeastSpread = 0.35, kLeastSeen = 0.8;
  Pairs out;
  for (int r = half + search; r < grid.rows - half - search; r += step) {
    for (int c = half + search; c < grid.cols - half - search; c += step) {
      const cv::Rect patch(c - half, r - half, 2 * half + 1, 2 * half + 1);
      const cv::Rect around(patch.x - search, patch.y - search, patch.width + 2 * search,
                            patch.height + 2 * search);
      if (cv::mean(later.seen(patch))[0] < kLeastSeen || cv::mean(earlier.seen(around))[0] < kLeastSeen)
        continue;
      cv::Scalar mean, spread;
      cv::meanStdDev(later.value(patch), mean, spread);
      if (spread[0] < kLeastSpread) continue;
      ++out.with_something;
      cv::Mat score;
      cv::matchTemplate(earlier.value(around), later.value(patch), score, cv::TM_CCOEFF_NORMED);
      double best = 0;
      cv::Point at;
      cv::minMaxLoc(score, nullptr, &best, nullptr, &at);
      if (best < kLeastAlike || at.x == 0 || at.y == 0 || at.x == score.cols - 1 || at.y == score.rows - 1)
        continue;
      const double dx =
          at.x - search + beside(score.at<float>(at.y, at.x - 1), best, score.at<float>(at.y, at.x + 1));
      const double dy =
          at.y - search + beside(score.at<float>(at.y - 1, at.x), best, score.at<float>(at.y + 1, at.x));
      out.alike.push_back({grid.mm_of(c, r), grid.mm_of(c + dx, r + dy)});
    }
  }
  return out;
}

struct Fitted {
  Eigen::Matrix3d earlier_from_later = Eigen::Matrix3d::Identity();  // grid mm
  std::vector<double> off_mm;                                        // of the pairs that agree
  int agreeing = 0;
};

// A homography near a rigid move: the references have already taken scale and perspective out, so what is
// left of them must be earned by the patches. The opening's centre, at the later one's origin, is known best
// of all.
Eigen::Matrix3d near_rigid_homography(const std::vector<Pair>& pairs, const Point2& earlier_centre) {
  constexpr double kUnit = 100;  // mm: brings all unknowns to about one size
  // In units of a patch's own error, about 0.2 mm: how far the references leave each of these open.
  constexpr double kScale = 0.35, kPerspective = 0.2, kCentre = 4;
  Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(2 * static_cast<Eigen::Index>(pairs.size()) + 7, 8);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(rows.rows());
  Eigen::Index i = 0;
  for (const Pair& p : pairs) {
    const double x = p.later.x() / kUnit, y = p.later.y() / kUnit;
    const double u = p.earlier.x() / kUnit, v = p.earlier.y() / kUnit;
    rows.row(i) << x, y, 1, 0, 0, 0, -u * x, -u * y;
    right(i++) = u;
    rows.row(i) << 0, 0, 0, x, y, 1, -v * x, -v * y;
    right(i++) = v;
  }
  rows(i, 0) = right(i) = kScale, ++i;
  rows(i, 4) = right(i) = kScale, ++i;
  rows(i, 1) = rows(i, 3) = kScale, ++i;
  rows(i++, 6) = kPerspective;
  rows(i++, 7) = kPerspective;
  rows(i, 2) = kCentre;
  right(i++) = kCentre * earlier_centre.x() / kUnit;
  rows(i, 5) = kCentre;
  right(i) = kCentre * earlier_centre.y() / kUnit;
  const Eigen::VectorXd h = rows.colPivHouseholderQr().solve(right);
  Eigen::Matrix3d unit;
  unit << h(0), h(1), h(2), h(3), h(4), h(5), h(6), h(7), 1;
  const Eigen::Matrix3d scale = Eigen::Vector3d(1 / kUnit, 1 / kUnit, 1).asDiagonal();
  return scale.inverse() * unit * scale;
}

std::vector<Pair> agreeing_with(const Eigen::Matrix3d& map, const std::vector<Pair>& pairs,
                                double within_mm) {
  std::vector<Pair> out;
  for (const Pair& p : pairs) {
    if ((moved(map, p.later) - p.earlier).norm() <= within_mm) out.push_back(p);
  }
  return out;
}

std::optional<Fitted> fitted(const std::vector<Pair>& pairs, const Point2& earlier_centre, double within_mm) {
  if (pairs.size() < kLeastPatches) return std::nullopt;
  std::vector<cv::Point2d> from, to;
  for (const Pair& p : pairs) {
    from.emplace_back(p.later.x(), p.later.y());
    to.emplace_back(p.earlier.x(), p.earlier.y());
  }
  cv::Mat kept;
  const cv::Mat start = cv::estimateAffinePartial2D(from, to, kept, cv::RANSAC, 2 * within_mm, 3000, 0.999);
  if (start.empty()) return std::nullopt;
  Fitted out;
  for (int r = 0; r < 2; ++r)
    for (int c = 0; c < 3; ++c) out.earlier_from_later(r, c) = start.at<double>(r, c);
  double reach = 2 * within_mm;
  std::vector<Pair> agree;
  for (int round = 0; round < 4; ++round) {
    agree = agreeing_with(out.earlier_from_later, pairs, reach);
    if (agree.size() < kLeastPatches) return std::nullopt;
    out.earlier_from_later = near_rigid_homography(agree, earlier_centre);
    reach = std::max(within_mm, 0.8 * reach);
  }
  for (const Pair& p : agree)
    out.off_mm.push_back((moved(out.earlier_from_later, p.later) - p.earlier).norm());
  out.agreeing = static_cast<int>(agree.size());
  return out;
}

struct Stage {
  double cell_mm, search_mm, within_mm;
};
constexpr std::array kStages{Stage{1.0, 5, 1.5}, Stage{0.5, 2, 0.7}, Stage{0.3, 1, 0.5}};

// Two openings that may be one, and what the later photo shows about it on each stage's grid, made once.
class Attempt {
 public:
  Attempt(const HullPhoto& earlier, const HullPhoto::Opening& before, const HullPhoto& later,
          const HullPhoto::Opening& after)
      : earlier_(earlier),
        later_(later),
        before_mm_(before.centre_mm),
        later_from_grid_(rigid(after.centre_mm, 0)),
        radius_mm_(0.5 * std::max(before.diameter_mm, after.diameter_mm)) {}

  [[nodiscard]] std::vector<HullMatch> starts() {
    const Detail a = detail(earlier_, rigid(before_mm_, 0), kStages.front().cell_mm);
    std::vector<HullMatch> out;
    for (const Turn& turn : likely_turns(a, later_detail(0))) {
      HullMatch match;
      match.later_from_grid = later_from_grid_;
      match.earlier_from_grid = rigid(before_mm_, -turn.degrees);
      match.radius_mm = radius_mm_;
      out.push_back(match);
    }
    return out;
  }

  // Improved on one stage's grid.
  [[nodiscard]] std::optional<HullMatch> refined(HullMatch match, std::size_t stage_index) {
    const Stage& stage = kStages.at(stage_index);
    auto other = std::async(std::launch::async, [&] { (void)later_detail(stage_index); });
    const Detail a = detail(earlier_, match.earlier_from_grid, stage.cell_mm);
    other.get();
    const Pairs pairs =
        paired_patches(a, later_detail(stage_index), HullGrid::about_opening(stage.cell_mm), stage.search_mm);
    const auto fit =
        fitted(pairs.alike, moved(match.earlier_from_grid.inverse(), before_mm_), stage.within_mm);
    if (!fit) return std::nullopt;
    match.earlier_from_grid = match.earlier_from_grid * fit->earlier_from_later;
    // A patch's own scatter is averaged away by the others, but for the fit's eight unknowns.
    match.residual_mm = median(fit->off_mm) * std::sqrt(8.0 / fit->agreeing);
    match.patches = fit->agreeing;
    match.agreeing = pairs.with_something > 0 ? static_cast<double>(fit->agreeing) / pairs.with_something : 0;
    return match;
  }

  [[nodiscard]] std::optional<HullMatch> refined_to_the_end(HullMatch match) {
    for (std::size_t stage = 1; stage < kStages.size(); ++stage) {
      const auto better = refined(match, stage);
      if (!better) return std::nullopt;
      match = *better;
    }
    return match;
  }

 private:
  [[nodiscard]] Detail detail(const HullPhoto& photo, const PlaneFromGrid& from_grid, double cell_mm) const {
    const HullGrid grid = HullGrid::about_opening(cell_mm);
    return detail_of(hull_luma(photo.pixels, photo.reference, from_grid, grid), grid, radius_mm_);
  }
  [[nodiscard]] const Detail& later_detail(std::size_t stage) {
    auto& made = later_details_.at(stage);
    if (!made) made = detail(later_, later_from_grid_, kStages.at(stage).cell_mm);
    return *made;
  }

  const HullPhoto &earlier_, &later_;
  Point2 before_mm_;
  PlaneFromGrid later_from_grid_;
  double radius_mm_;
  std::array<std::optional<Detail>, kStages.size()> later_details_;
};

bool trusted(const HullMatch& match) {
  return match.patches >= kTrusted && match.agreeing >= kLeastAgreeing;
}

// The likeliest start is taken to the end first; the others only where that is not to be trusted.
std::optional<HullMatch> best_match(Attempt& attempt, const StopAsked& stop) {
  std::vector<HullMatch> coarse;
  for (const HullMatch& start : attempt.starts()) {
    if (stop && stop()) return std::nullopt;
    if (const auto match = attempt.refined(start, 0)) coarse.push_back(*match);
  }
  std::sort(coarse.begin(), coarse.end(),
            [](const HullMatch& a, const HullMatch& b) { return a.patches > b.patches; });
  std::optional<HullMatch> best;
  for (const HullMatch& start : coarse) {
    if (stop && stop()) return std::nullopt;
    const auto match = attempt.refined_to_the_end(start);
    if (match && (!best || match->patches > best->patches)) best = match;
    if (best && trusted(*best)) break;
  }
  return best;
}

tl::unexpected<Refusal> no_common_opening() {
  return refuse(
      "nothing-found",
      "The two photos show no opening of the same size, so they cannot be laid on one another. Take "
      "the later photo again with the whole opening and the reference in view.");
}

tl::unexpected<Refusal> not_aligned() {
  return refuse(
      "not-aligned",
      "Too little of the hull looks the same in both photos to lay them on one another with confidence. "
      "Take the later photo from about the same place, in even light, with more of the hull round the "
      "opening in view.");
}

}  // namespace

Expected<HullMatch> match_hulls(const HullPhoto& earlier, const HullPhoto& later, const StopAsked& stop) {
  std::optional<HullMatch> best;
  bool any = false;
  for (const auto& after : later.openings) {
    for (const auto& before : earlier.openings) {
      if (std::abs(before.diameter_mm - after.diameter_mm) > kSameSize * after.diameter_mm) continue;
      any = true;
      Attempt attempt(earlier, before, later, after);
      const auto match = best_match(attempt, stop);
      if (match && (!best || match->patches > best->patches)) best = match;
    }
  }
  if (!any) return no_common_opening();
  if (!best || !trusted(*best)) return not_aligned();
  return *best;
}

}  // namespace spile::vision
