#include "vision/rim_by_hand.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kPlacedPx = 1.0;   // how well a person places a point
constexpr double kSnappedPx = 0.3;  // one edge point, with the rim's roughness
constexpr double kSnapReachPx = 6;
constexpr double kFlattest = 3;  // radius over the points' extent, above which they are as good as in line

// Longest distance between two of the points.
double length_of(const std::vector<RimPoint>& points) {
  double longest = 0;
  for (const RimPoint& a : points) {
    for (const RimPoint& b : points) longest = std::max(longest, (a.mm - b.mm).norm());
  }
  return longest;
}

std::optional<RoundFit> round_of(const std::vector<RimSample>& samples, double u_roundness) {
  std::vector<RimPoint> points;
  for (const RimSample& s : samples) points.push_back({s.mm, s.u_mm});
  const auto fit = fit_round_weighted(points, u_roundness);
  if (!fit || fit->radius > kFlattest * length_of(points)) return std::nullopt;
  return fit;
}

std::optional<RimSample> placed(const RimPlace& place, const PixelPoint& point) {
  RimSample sample;
  sample.px = {point.x, point.y};
  const auto mm = place.plane.mm_from_px(sample.px, place.z);
  if (!mm) return std::nullopt;
  sample.mm = *mm;
  sample.mm_per_px = place.plane.mm_per_px(sample.px, place.z);
  sample.u_mm = kPlacedPx * sample.mm_per_px;
  sample.inlier = true;
  return sample;
}

void snap_to_edge(const RimPlace& place, const RoundFit& fit, RimSample& sample) {
  const Point2 d = sample.mm - fit.centre;
  const auto foot = place.foot(fit.centre, d.norm(), std::atan2(d.y(), d.x()));
  const auto edge = nearest_edge(place, foot, kSnapReachPx);
  if (!edge) return;
  sample.px = foot.px + edge->offset * foot.normal;
  const auto mm = place.plane.mm_from_px(sample.px, place.z);
  if (mm) sample.mm = *mm;
  sample.contrast = edge->contrast();
  sample.blur_px = edge->blur;
  sample.u_mm = kSnappedPx * foot.mm_per_px;
}

}  // namespace

std::optional<FineRim> rim_by_hand(const RimPlace& place, const std::vector<PixelPoint>& points, bool snap,
                                   double u_roundness) {
  FineRim rim;
  for (const PixelPoint& point : points) {
    const auto sample = placed(place, point);
    if (!sample) return std::nullopt;
    rim.samples.push_back(*sample);
  }
  if (rim.samples.size() < 3) return std::nullopt;
  auto fit = round_of(rim.samples, u_roundness);
  if (!fit) return std::nullopt;
  if (snap) {
    for (RimSample& sample : rim.samples) snap_to_edge(place, *fit, sample);
    fit = round_of(rim.samples, u_roundness);
    if (!fit) return std::nullopt;
  }
  rim.fit = *fit;
  rim.directions = static_cast<int>(rim.samples.size());
  rim.mm_per_px = place.foot(fit->centre, fit->radius, 0).mm_per_px;
  return rim;
}

}  // namespace spile::vision
