#include "vision/rim_by_hand.hpp"

#include <Eigen/Dense>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kPlacedPx = 1.0;   // how well a person places a point
constexpr double kSnappedPx = 0.3;  // one edge point, with the rim's roughness
constexpr double kSnapReachPx = 6;

std::optional<RoundFit> circle_of(const std::vector<RimSample>& samples) {
  std::vector<RimPoint> points;
  for (const RimSample& s : samples) points.push_back({s.mm, s.u_mm});
  if (points.size() >= 5) return fit_round(points, 0);
  const auto circle = circle_through(points[0].mm, points[1].mm, points[2].mm);
  if (!circle) return std::nullopt;
  RoundFit fit;
  fit.centre = circle->centre;
  fit.radius = circle->radius;
  return fit;
}

using Vector5 = Eigen::Matrix<double, 5, 1>;
using Matrix5 = Eigen::Matrix<double, 5, 5>;

// Few points, each with its own doubt: Gauss-Newton with ovality held by its prior, doubts propagated, not
// judged by scatter, which three points do not have.
void refine(RoundFit& fit, const std::vector<RimSample>& samples, double u_roundness) {
  Matrix5 normal = Matrix5::Zero();
  for (int round = 0; round < 8; ++round) {
    normal = Matrix5::Zero();
    Vector5 right = Vector5::Zero();
    for (const RimSample& s : samples) {
      const Point2 d = s.mm - fit.centre;
      const double angle = std::atan2(d.y(), d.x());
      Vector5 row;
      row << std::cos(angle), std::sin(angle), 1, std::cos(2 * angle), std::sin(2 * angle);
      const double weight = 1 / (s.u_mm * s.u_mm);
      normal += weight * row * row.transpose();
      right += weight * (d.norm() - fit.radius_at(angle)) * row;
    }
    const double stiff = 1 / std::pow(u_roundness * fit.radius, 2);
    normal(3, 3) += stiff;
    normal(4, 4) += stiff;
    right[3] -= stiff * fit.oval_cos;
    right[4] -= stiff * fit.oval_sin;
    const Vector5 change = normal.ldlt().solve(right);
    fit.centre += change.head<2>();
    fit.radius += change[2];
    fit.oval_cos += change[3];
    fit.oval_sin += change[4];
  }
  const Matrix5 covariance = normal.inverse();
  fit.u_radius = std::sqrt(covariance(2, 2));
  fit.u_oval = std::sqrt(0.5 * (covariance(3, 3) + covariance(4, 4)));
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
  auto fit = circle_of(rim.samples);
  if (!fit) return std::nullopt;
  if (snap) {
    for (RimSample& sample : rim.samples) snap_to_edge(place, *fit, sample);
    fit = circle_of(rim.samples);
    if (!fit) return std::nullopt;
  }
  refine(*fit, rim.samples, u_roundness);
  if (!(fit->radius > 0) || !fit->centre.allFinite()) return std::nullopt;
  rim.fit = *fit;
  rim.directions = static_cast<int>(rim.samples.size());
  rim.mm_per_px = place.foot(fit->centre, fit->radius, 0).mm_per_px;
  return rim;
}

}  // namespace spile::vision
