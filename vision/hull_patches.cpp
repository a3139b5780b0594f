// Changed patches: stains that are new or have grown, chips at the rim, and what else stands out on all
// sides.
#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/hull_changes.hpp"
#include "vision/hull_difference.hpp"
#include "vision/hull_patch.hpp"

namespace spile::vision {
namespace {

constexpr double kPatchCellMm = 0.5;   // patches are looked for coarsely, and measured on the pair's own grid
constexpr double kWidestPatchMm = 22;  // what is wider both ways than this is light, or the whole hull
constexpr double kLeastAreaMm2 = 8, kLeastChipMm2 = 3.5;
constexpr double kNoises = 6;
constexpr double kLeastLuma = 0.08, kLeastHue = 0.05;
constexpr double kBesideRimMm = 0.35, kChipReachMm = 6;
constexpr double kSoftestEdgeMm = 1.5;
constexpr double kLeastContrast = 0.08, kLeastSolidity = 0.8, kLeastRoundness = 0.25;
constexpr double kMostUneven = 0.22;
constexpr double kLeastSides = 0.9;                        // of those that were seen
constexpr int kLeastStainSides = 13, kLeastChipSides = 6;  // of sixteen; a chip has the opening on the others
constexpr double kEdgeU = 0.15;                            // mm: where the edge of a stain is

// Grows `seed` (everywhere below `limit`) under `limit` until nothing changes: what `limit` holds beyond that
// is what stands out narrower than the seed's own shapes. Morphological reconstruction by dilation, two
// sweeps and a queue (Vincent, Morphological grayscale reconstruction in image analysis, 1993; from memory).
cv::Mat reconstructed(const cv::Mat& seed, const cv::Mat& limit) {
  cv::Mat level, under;
  cv::copyMakeBorder(seed, level, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(-1e9));
  cv::copyMakeBorder(limit, under, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(-1e9));
  const auto width = static_cast<std::ptrdiff_t>(level.cols);
  auto* at = level.ptr<float>();
  const auto* most = under.ptr<float>();
  const std::array<std::ptrdiff_t, 4> before{-width - 1, -width, -width + 1, -1};
  const std::ptrdiff_t first = width + 1, last = width * (level.rows - 1) - 2;
  std::vector<std::ptrdiff_t> queue;
  const auto raise = [&](std::ptrdiff_t i, int sign) {
    float high = at[i];
    for (const auto off : before) high = std::max(high, at[i + sign * off]);
    at[i] = std::min(high, most[i]);
  };
  for (std::ptrdiff_t i = first; i <= last; ++i) raise(i, 1);
  for (std::ptrdiff_t i = last; i >= first; --i) {
    raise(i, -1);
    for (const auto off : before)
      if (at[i - off] < at[i] && at[i - off] < most[i - off]) {
        queue.push_back(i);
        break;
      }
  }
  for (std::size_t next = 0; next < queue.size(); ++next) {
    const std::ptrdiff_t i = queue[next];
    for (const auto off : before) {
      for (const std::ptrdiff_t j : {i + off, i - off}) {
        if (at[j] >= at[i] || at[j] >= most[j]) continue;
        at[j] = std::min(at[i], most[j]);
        queue.push_back(j);
      }
    }
  }
  return level(cv::Rect(1, 1, seed.cols, seed.rows));
}

// What stands above everything round it and is narrower than `widest_mm`.
cv::Mat standing_out(const cv::Mat& of, double cell_mm, double widest_mm) {
  const int n = static_cast<int>(std::lround(widest_mm / cell_mm)) | 1;
  cv::Mat opened;
  cv::erode(of, opened, cv::Mat::ones(n, n, CV_8UC1), {-1, -1}, 1, cv::BORDER_REPLICATE);
  return of - reconstructed(opened, of);
}

// Luma and two hues: a shadow moves the hues little and all alike.
std::array<cv::Mat, 3> channels_of(const cv::Mat& log_bgr) {
  std::array<cv::Mat, 3> bgr, out;
  cv::split(log_bgr, bgr.data());
  out[0] = luma_of(log_bgr);
  out[1] = bgr[2] - bgr[1];
  out[2] = bgr[0] - bgr[1];
  return out;
}

struct Candidate {
  cv::Mat mask;  // on the coarse grid, 255 inside
  cv::Rect box;
  double area_mm2 = 0;
};

std::vector<Candidate> candidates_in(const PatchDifference& difference) {
  const cv::Mat& seen = difference.coarse_seen;
  cv::Mat coarse;
  cv::GaussianBlur(difference.coarse_bgr, coarse, cv::Size(), 0.8);
  cv::Mat any = cv::Mat::zeros(seen.size(), CV_8UC1);
  const auto channel = channels_of(coarse);
  for (std::size_t k = 0; k < channel.size(); ++k) {
    for (const double sign : {1.0, -1.0}) {
      const cv::Mat out = standing_out(sign * channel[k], kPatchCellMm, kWidestPatchMm);
      cv::Mat fine;
      cv::GaussianBlur(channel[k], fine, cv::Size(), 1.5);
      const cv::Mat noise = local_noise(channel[k] - fine, seen, kPatchCellMm);
      any |= out > cv::max(kNoises * noise, k == 0 ? kLeastLuma : kLeastHue);
    }
  }
  any &= seen;
  cv::morphologyEx(any, any, cv::MORPH_OPEN, cv::getStructuringElement(cv::MORPH_ELLIPSE, {3, 3}));
  cv::Mat label, stats, centres;
  const int n = cv::connectedComponentsWithStats(any, label, stats, centres, 8);
  std::vector<Candidate> found;
  for (int i = 1; i < n; ++i) {
    Candidate c;
    c.area_mm2 = stats.at<int>(i, cv::CC_STAT_AREA) * kPatchCellMm * kPatchCellMm;
    if (c.area_mm2 < kLeastChipMm2) continue;
    c.box = cv::Rect(stats.at<int>(i, 0), stats.at<int>(i, 1), stats.at<int>(i, 2), stats.at<int>(i, 3));
    c.mask = label == i;
    found.push_back(std::move(c));
  }
  return found;
}

double least_distance(const std::vector<Point2>& outline) {
  double out = 1e9;
  for (const Point2& p : outline) out = std::min(out, p.norm());
  return out;
}
double most_distance(const std::vector<Point2>& outline) {
  double out = 0;
  for (const Point2& p : outline) out = std::max(out, p.norm());
  return out;
}

// The share of the outline that ends where the view does.
double cut_off(const std::vector<Point2>& outline, const cv::Mat& seen, const HullGrid& grid) {
  const cv::Mat unseen = grown(~seen, 1.2, grid.cell_mm);
  std::size_t cut = 0;
  for (const Point2& p : outline) {
    const Point2 cell = grid.cell_of(p);
    if (unseen.at<uchar>(static_cast<int>(std::lround(cell.y())), static_cast<int>(std::lround(cell.x()))))
      ++cut;
  }
  return outline.empty() ? 1 : static_cast<double>(cut) / static_cast<double>(outline.size());
}

bool stands_out(const HullView& view, const Patch& patch, const std::vector<Point2>& outline,
                const cv::Mat& seen, int least_sides) {
  if (patch.area_mm2 <= 0) return false;
  if (patch.unevenness > kMostUneven) return false;
  const SidesSeen sides = sides_of(view, patch, outline, seen);
  return sides.told >= least_sides && sides.standing_out >= kLeastSides;
}

std::optional<HullChange> judged(const HullPair& pair, const PatchDifference& difference,
                                 const Candidate& candidate) {
  const HullGrid& grid = pair.later.grid;
  cv::Mat seed;
  cv::resize(candidate.mask, seed, difference.seen.size(), 0, 0, cv::INTER_NEAREST);
  const auto rough = outline_of(seed, grid);
  if (rough.size() < 6) return std::nullopt;
  const double from_rim = least_distance(rough) - pair.radius_mm, to = most_distance(rough) - pair.radius_mm;
  if (from_rim < 1.3 && to < kChipReachMm) {
    const double deep = to;
    const double along = candidate.area_mm2 / std::max(0.5, deep);
    if (along > 4 * deep || along < 0.4 * deep) return std::nullopt;
    if (!stands_out(pair.later, patch_at(pair.later, seed, difference.seen), rough, difference.seen,
                    kLeastChipSides))
      return std::nullopt;
    return HullChange{"chip", rough, candidate.area_mm2, 0, std::max(1.0, 0.3 * candidate.area_mm2)};
  }
  if (candidate.area_mm2 < kLeastAreaMm2) return std::nullopt;
  const Patch now = patch_at(pair.later, seed, difference.seen);
  if (now.area_mm2 <= 0) return std::nullopt;
  if (now.contrast < kLeastContrast || now.unevenness > kMostUneven || now.edge_mm > kSoftestEdgeMm)
    return std::nullopt;
  if (solidity_of(now, grid.cell_mm) < kLeastSolidity) return std::nullopt;
  const auto outline = outline_of(now.mask, grid);
  if (roundness_of(outline, now.area_mm2) < kLeastRoundness || cut_off(outline, difference.seen, grid) > 0.05)
    return std::nullopt;
  if (!stands_out(pair.later, now, outline, difference.seen, kLeastStainSides)) return std::nullopt;
  const Patch before =
      patch_at(pair.earlier, seed_before(pair.earlier, now, difference.seen), difference.seen);
  const bool was_there = before.contrast > kLeastContrast && before.edge_mm < kSoftestEdgeMm &&
                         solidity_of(before, grid.cell_mm) > kLeastSolidity;
  const double earlier_area = was_there ? before.area_mm2 : 0;
  const double u = std::hypot(kEdgeU * now.perimeter_mm, kEdgeU * before.perimeter_mm);
  if (was_there && now.area_mm2 - earlier_area < std::max(2 * u, 0.15 * now.area_mm2)) return std::nullopt;
  return HullChange{"stain", outline, now.area_mm2, earlier_area, kEdgeU * now.perimeter_mm};
}

Point2 middle_of(const HullChange& change) {
  Point2 out = Point2::Zero();
  for (const Point2& p : change.points) out += p / static_cast<double>(change.points.size());
  return out;
}

// Several pieces of one changed stain lead to the same stain.
bool already_among(const std::vector<HullChange>& found, const HullChange& change) {
  return std::any_of(found.begin(), found.end(), [&](const HullChange& f) {
    return f.kind == change.kind && (middle_of(f) - middle_of(change)).norm() < 2;
  });
}

}  // namespace

std::vector<HullChange> changed_patches(const HullPair& pair) {
  const PatchDifference difference = patch_difference(pair, kBesideRimMm, kPatchCellMm);
  std::vector<HullChange> out;
  for (const Candidate& candidate : candidates_in(difference)) {
    auto change = judged(pair, difference, candidate);
    if (change && !already_among(out, *change)) out.push_back(*std::move(change));
  }
  return out;
}

}  // namespace spile::vision
