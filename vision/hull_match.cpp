#include "vision/hull_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kCoarseCellMm = 1;  // for the search over all turns
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

Detail detail_of(const HullView& view, double opening_radius_mm) {
  constexpr double kSurroundingsMm = 7, kLeastContrast = 0.02;
  const double cell = view.grid.cell_mm;
  const cv::Mat luma = luma_of(view.log_light);
  const cv::Mat seen = view.seen & ~opening_cells(view.grid, opening_radius_mm + 1.5);
  Detail out;
  seen.convertTo(out.seen, CV_32FC1, 1.0 / 255);
  const double sigma = kSurroundingsMm / cell;
  const cv::Mat weight = blurred(out.seen, sigma) + 1e-3;
  cv::Mat smooth = blurred(luma.mul(out.seen), std::max(0.8, 0.5 / cell)) /
                   (blurred(out.seen, std::max(0.8, 0.5 / cell)) + 1e-3);
  cv::Mat mean = blurred(smooth.mul(out.seen), sigma) / weight;
  cv::Mat off = (smooth - mean).mul(out.seen);
  cv::Mat spread;
  cv::sqrt(blurred(off.mul(off), sigma) / weight + kLeastContrast * kLeastContrast, spread);
  out.value = off / spread;
  return out;
}

// Correlation of two details where both are seen.
double alikeness(const Detail& a, const Detail& b) {
  const cv::Mat both = a.seen.mul(b.seen);
  const double area = cv::sum(both)[0];
  if (area < 400) return -1;
  const double ab = cv::sum(a.value.mul(b.value).mul(both))[0];
  const double aa = cv::sum(a.value.mul(a.value).mul(both))[0],
               bb = cv::sum(b.value.mul(b.value).mul(both))[0];
  return aa > 0 && bb > 0 ? ab / std::sqrt(aa * bb) : -1;
}

cv::Mat turned_about_middle(const cv::Mat& of, double degrees) {
  const cv::Point2f middle(0.5F * static_cast<float>(of.cols - 1), 0.5F * static_cast<float>(of.rows - 1));
  cv::Mat out;
  cv::warpAffine(of, out, cv::getRotationMatrix2D(middle, degrees, 1), of.size(), cv::INTER_LINEAR,
                 cv::BORDER_CONSTANT);
  return out;
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

// The turns of the earlier photo about the opening at which the hull looks most alike, best first.
std::vector<Turn> likely_turns(const Detail& earlier, const Detail& later, const StopAsked& stop) {
  std::vector<Turn> all;
  for (double d = 0; d < 360 && !(stop && stop()); d += kTurnStepDeg) {
    const Detail turned{turned_about_middle(earlier.value, d), turned_about_middle(earlier.seen, d)};
    all.push_back({d, alikeness(turned, later)});
  }
  std::vector<Turn> peaks;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Turn &before = all[(i + all.size() - 1) % all.size()], &after = all[(i + 1) % all.size()];
    if (all[i].alike >= before.alike && all[i].alike > after.alike) peaks.push_back(all[i]);
  }
  std::sort(peaks.begin(), peaks.end(), [](const Turn& a, const Turn& b) { return a.alike > b.alike; });
  if (peaks.size() > kTurnsKept) peaks.resize(kTurnsKept);
  return peaks;
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

// One start improved on ever finer grids.
std::optional<HullMatch> refined(const HullPhoto& earlier, const Point2& earlier_opening,
                                 const HullPhoto& later, HullMatch match) {
  struct Stage {
    double cell_mm, search_mm, within_mm;
  };
  for (const Stage& stage : {Stage{1.0, 5, 1.5}, Stage{0.5, 2, 0.7}, Stage{0.3, 1, 0.5}}) {
    const HullGrid grid = HullGrid::about_opening(stage.cell_mm);
    const Detail a = detail_of(hull_view(earlier.pixels, earlier.reference, match.earlier_from_grid, grid),
                               match.radius_mm);
    const Detail b =
        detail_of(hull_view(later.pixels, later.reference, match.later_from_grid, grid), match.radius_mm);
    const Pairs pairs = paired_patches(a, b, grid, stage.search_mm);
    const auto fit =
        fitted(pairs.alike, moved(match.earlier_from_grid.inverse(), earlier_opening), stage.within_mm);
    if (!fit) return std::nullopt;
    match.earlier_from_grid = match.earlier_from_grid * fit->earlier_from_later;
    // A patch's own scatter is averaged away by the others, but for the fit's eight unknowns.
    match.residual_mm = median(fit->off_mm) * std::sqrt(8.0 / fit->agreeing);
    match.patches = fit->agreeing;
    match.agreeing = pairs.with_something > 0 ? static_cast<double>(fit->agreeing) / pairs.with_something : 0;
  }
  return match;
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

std::vector<HullMatch> starts_at(const HullPhoto& earlier, const HullPhoto::Opening& before,
                                 const HullPhoto& later, const HullPhoto::Opening& after,
                                 const StopAsked& stop) {
  const HullGrid grid = HullGrid::about_opening(kCoarseCellMm);
  const double radius = 0.5 * std::max(before.diameter_mm, after.diameter_mm);
  const Eigen::Matrix3d at_before = rigid(before.centre_mm, 0), at_after = rigid(after.centre_mm, 0);
  const Detail a = detail_of(hull_view(earlier.pixels, earlier.reference, at_before, grid), radius);
  const Detail b = detail_of(hull_view(later.pixels, later.reference, at_after, grid), radius);
  std::vector<HullMatch> out;
  for (const Turn& turn : likely_turns(a, b, stop)) {
    HullMatch match;
    match.later_from_grid = at_after;
    match.earlier_from_grid = rigid(before.centre_mm, -turn.degrees);
    match.radius_mm = radius;
    out.push_back(match);
  }
  return out;
}

}  // namespace

Expected<HullMatch> match_hulls(const HullPhoto& earlier, const HullPhoto& later, const StopAsked& stop) {
  std::optional<HullMatch> best;
  bool any = false;
  for (const auto& after : later.openings) {
    for (const auto& before : earlier.openings) {
      if (std::abs(before.diameter_mm - after.diameter_mm) > kSameSize * after.diameter_mm) continue;
      any = true;
      for (const HullMatch& start : starts_at(earlier, before, later, after, stop)) {
        const auto match = refined(earlier, before.centre_mm, later, start);
        if (match && (!best || match->patches > best->patches)) best = match;
      }
    }
  }
  if (!any) return no_common_opening();
  if (!best || best->patches < kTrusted || best->agreeing < kLeastAgreeing) return not_aligned();
  return *best;
}

}  // namespace spile::vision
