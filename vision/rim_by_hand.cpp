#include "vision/rim_by_hand.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/edge_vote.hpp"
#include "vision/ray_edges.hpp"

namespace spile::vision {
namespace {

constexpr double kFlattest = 3;  // radius over the points' extent, above which they are as good as in line
constexpr double kBelief = 3;    // what is said of the placing weighs as much as this many points' scatter
constexpr int kRays = 96;
constexpr double kReachSd = 2.5, kFarthestPx = 30;
constexpr double kVouchedPx = 12;  // where the points tell the rim's place less well, no edge is taken for it
constexpr double kOnPx = 1.5;      // an edge this near lies on a curve

using Vector5 = Eigen::Matrix<double, 5, 1>;
using Matrix5 = Eigen::Matrix<double, 5, 5>;

Vector5 row_at(double angle) {
  Vector5 row;
  row << std::cos(angle), std::sin(angle), 1, std::cos(2 * angle), std::sin(2 * angle);
  return row;
}

// The points as placed, and how well they tell the curve.
struct PlacedRim {
  RoundFit fit;
  Matrix5 covariance = Matrix5::Zero();
  std::vector<RimSample> samples;
};

double extent_of(const std::vector<RimSample>& samples) {
  double longest = 0;
  for (const RimSample& a : samples) {
    for (const RimSample& b : samples) longest = std::max(longest, (a.mm - b.mm).norm());
  }
  return longest;
}

std::optional<std::vector<RimSample>> placed_samples(const RimPlace& place,
                                                     const std::vector<PixelPoint>& points,
                                                     double placed_px) {
  std::vector<RimSample> out;
  for (const PixelPoint& p : points) {
    RimSample sample;
    sample.px = {p.x, p.y};
    const auto mm = place.plane.mm_from_px(sample.px, place.z);
    if (!mm) return std::nullopt;
    sample.mm = *mm;
    sample.mm_per_px = place.plane.mm_per_px(sample.px, place.z);
    sample.u_mm = placed_px * sample.mm_per_px;
    sample.inlier = true;
    out.push_back(sample);
  }
  return out;
}

std::optional<PlacedRim> placed_rim(std::vector<RimSample> samples, double u_roundness) {
  std::vector<RimPoint> points;
  for (const RimSample& s : samples) points.push_back({s.mm, s.u_mm});
  const auto fit = fit_round_weighted(points, u_roundness);
  if (!fit || fit->radius > kFlattest * extent_of(samples)) return std::nullopt;
  double square = 0;
  for (RimSample& s : samples) {
    const Point2 d = s.mm - fit->centre;
    s.angle = std::atan2(d.y(), d.x());
    square += std::pow((d.norm() - fit->radius_at(s.angle)) / s.u_mm, 2);
  }
  const double spare = static_cast<double>(samples.size()) - 3;
  const double scale = std::sqrt((kBelief + square) / (kBelief + spare));
  PlacedRim out{*fit, Matrix5::Zero(), std::move(samples)};
  Matrix5 normal = Matrix5::Zero();
  for (RimSample& s : out.samples) {
    s.u_mm *= scale;
    normal += row_at(s.angle) * row_at(s.angle).transpose() / (s.u_mm * s.u_mm);
  }
  normal.diagonal().tail(2).array() += std::pow(u_roundness * fit->radius, -2);
  out.covariance = normal.inverse();
  out.fit.u_radius = std::sqrt(out.covariance(2, 2));
  out.fit.u_oval = std::sqrt(0.5 * (out.covariance(3, 3) + out.covariance(4, 4)));
  return out;
}

FineRim as_placed(const RimPlace& place, const PlacedRim& placed) {
  FineRim rim;
  rim.fit = placed.fit;
  rim.samples = placed.samples;
  rim.placed = true;
  rim.directions = static_cast<int>(rim.samples.size());
  rim.mm_per_px = place.foot(rim.fit.centre, rim.fit.radius, 0).mm_per_px;
  return rim;
}

// The stretch of rim the points vouch for, and the edges along it: places are radii about the placed centre.
struct Stretch {
  std::vector<Ray> rays;
  EdgeVote vote;
};

void add_edges(const RimPlace& place, const PlacedRim& placed, const Ray& ray, double reach_mm,
               Stretch& out) {
  for (const EdgePeak& p : ray.peaks) {
    const auto mm = place.plane.mm_from_px(ray.foot.px + p.offset * ray.foot.normal, place.z);
    if (!mm) continue;
    const Point2 d = *mm - placed.fit.centre;
    const double angle = std::atan2(d.y(), d.x());
    if (std::abs(d.norm() - placed.fit.radius_at(angle)) > reach_mm) continue;
    out.vote.edges.push_back({out.rays.size(), row_at(angle), d.norm(), voice_of(p.contrast), p.offset});
  }
}

Stretch stretch_along(const RimPlace& place, const PlacedRim& placed, double on_mm) {
  const RoundFit& fit = placed.fit;
  const double px = place.foot(fit.centre, fit.radius, 0).mm_per_px;
  std::vector<double> reach(kRays, 0.0);
  for (int k = 0; k < kRays; ++k) {
    const Vector5 row = row_at(2 * M_PI * k / kRays);
    const double sd = std::sqrt(row.dot(placed.covariance * row)) / px;
    if (sd <= kVouchedPx) reach[static_cast<std::size_t>(k)] = std::min(kFarthestPx, kReachSd * sd + kOnPx);
  }
  Stretch out;
  const double farthest = *std::max_element(reach.begin(), reach.end());
  if (farthest == 0) return out;
  auto rays = rays_round(place, {fit.centre, fit.radius}, kRays, farthest + 5);
  for (std::size_t k = 0; k < rays.size(); ++k) {
    if (reach[k] == 0 || rays[k].colours.light.empty()) continue;
    add_edges(place, placed, rays[k], reach[k] * rays[k].foot.mm_per_px, out);
    out.rays.push_back(std::move(rays[k]));
  }
  Vector5 start;
  start << 0, 0, fit.radius, fit.oval_cos, fit.oval_sin;
  out.vote.start = start;
  out.vote.hold = placed.covariance.inverse();
  out.vote.free = 3;
  out.vote.on = on_mm;
  out.vote.normals = out.rays.size();
  return out;
}

std::optional<RimSample> sub_pixel(const RimPlace& place, const Ray& ray, double offset) {
  const auto edge = fit_edge(best_mixture(ray.colours, offset, 3), offset, 3, 5);
  if (!edge || std::abs(edge->offset - offset) > 2) return std::nullopt;
  RimSample sample;
  sample.px = ray.foot.px + edge->offset * ray.foot.normal;
  const auto mm = place.plane.mm_from_px(sample.px, place.z);
  if (!mm) return std::nullopt;
  sample.mm = *mm;
  sample.angle = ray.angle;
  sample.mm_per_px = ray.foot.mm_per_px;
  sample.u_mm = std::hypot(edge->u, 0.1) * ray.foot.mm_per_px;
  sample.contrast = edge->contrast();
  sample.blur_px = edge->blur;
  return sample;
}

std::optional<FineRim> on_curve(const RimPlace& place, const Stretch& stretch, const LikelyCurve& curve,
                                double u_roundness) {
  FineRim rim;
  const double on_mm = stretch.vote.on;
  std::vector<const VotingEdge*> nearest(stretch.rays.size(), nullptr);
  std::vector<double> least(stretch.rays.size(), 1.5 * on_mm);
  for (const VotingEdge& e : stretch.vote.edges) {
    const double away = std::abs(e.place - e.row.dot(curve.x));
    if (away >= least[e.normal]) continue;
    least[e.normal] = away;
    nearest[e.normal] = &e;
  }
  std::vector<RimPoint> points;
  for (std::size_t k = 0; k < nearest.size(); ++k) {
    if (!nearest[k]) continue;
    auto sample = sub_pixel(place, stretch.rays[k], nearest[k]->offset);
    if (!sample) continue;
    points.push_back({sample->mm, sample->u_mm});
    rim.samples.push_back(*sample);
  }
  if (points.size() < 12) return std::nullopt;
  const auto fit = fit_round(points, u_roundness);
  if (!fit || !(std::abs(fit->radius - curve.x[2]) < 4 * on_mm + 0.02 * curve.x[2])) return std::nullopt;
  rim.fit = *fit;
  double inliers = 0;
  for (std::size_t i = 0; i < rim.samples.size(); ++i) {
    rim.samples[i].inlier = fit->inlier[i];
    inliers += fit->inlier[i] ? 1 : 0;
  }
  rim.directions = kRays;
  rim.seen = inliers / kRays;
  rim.mm_per_px = place.foot(fit->centre, fit->radius, 0).mm_per_px;
  return rim;
}

std::optional<FineRim> snapped(const RimPlace& place, const PlacedRim& placed, double u_roundness) {
  const double on_mm = kOnPx * place.foot(placed.fit.centre, placed.fit.radius, 0).mm_per_px;
  const Stretch stretch = stretch_along(place, placed, on_mm);
  if (stretch.rays.size() < 12) return std::nullopt;
  const auto curves = likely_curves(stretch.vote);
  if (curves.front().support < kLeastVote) return std::nullopt;
  auto rim = on_curve(place, stretch, curves.front(), u_roundness);
  if (!rim) return std::nullopt;
  double weights = 0, square = 0;
  for (const LikelyCurve& other : curves) {
    const double weight = std::exp(other.log_weight - curves.front().log_weight);
    weights += weight;
    square += weight * std::pow(other.x[2] - curves.front().x[2], 2);
  }
  rim->u_other_edge = std::sqrt(square / weights);
  return rim;
}

}  // namespace

std::optional<FineRim> rim_by_hand(const RimPlace& place, const std::vector<PixelPoint>& points, bool snap,
                                   double placed_px, double u_roundness) {
  if (points.size() < 3) return std::nullopt;
  auto samples = placed_samples(place, points, placed_px);
  if (!samples) return std::nullopt;
  const auto placed = placed_rim(*std::move(samples), u_roundness);
  if (!placed) return std::nullopt;
  if (snap) {
    if (auto rim = snapped(place, *placed, u_roundness)) return rim;
  }
  return as_placed(place, *placed);
}

}  // namespace spile::vision
