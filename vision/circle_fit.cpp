#include "vision/circle_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

using Vector5 = Eigen::Matrix<double, 5, 1>;
using Matrix5 = Eigen::Matrix<double, 5, 5>;

// Centre x, y, radius, oval cos, oval sin.
// Direction and distance from the centre, without a turn through angles.
struct Polar {
  double cos = 1, sin = 0, radius = 0;
  [[nodiscard]] double cos2() const { return cos * cos - sin * sin; }
  [[nodiscard]] double sin2() const { return 2 * cos * sin; }
};

Polar polar(const RoundFit& fit, const Point2& mm) {
  const Point2 d = mm - fit.centre;
  const double radius = d.norm();
  return radius > 0 ? Polar{d.x() / radius, d.y() / radius, radius} : Polar{};
}

Vector5 row_at(const Polar& p) {
  Vector5 row;
  row << p.cos, p.sin, 1, p.cos2(), p.sin2();
  return row;
}

double miss(const RoundFit& fit, const Polar& p) {
  return p.radius - fit.radius - fit.oval_cos * p.cos2() - fit.oval_sin * p.sin2();
}

double miss(const RoundFit& fit, const Point2& mm) {
  return miss(fit, polar(fit, mm));
}

// Algebraic circle (Kasa): x^2 + y^2 = 2 a x + 2 b y + c, linear and good enough to start from.
std::optional<RoundFit> first_circle(const std::vector<RimPoint>& points, const std::vector<double>& weight) {
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  Eigen::Vector3d v = Eigen::Vector3d::Zero();
  Point2 middle = Point2::Zero();
  for (const RimPoint& p : points) middle += p.mm / static_cast<double>(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Point2 p = points[i].mm - middle;
    const Eigen::Vector3d row(2 * p.x(), 2 * p.y(), 1);
    m += weight[i] * row * row.transpose();
    v += weight[i] * p.squaredNorm() * row;
  }
  const Eigen::Vector3d s = m.ldlt().solve(v);
  const double r2 = s[2] + s[0] * s[0] + s[1] * s[1];
  if (!(r2 > 0) || !s.allFinite()) return std::nullopt;
  RoundFit fit;
  fit.centre = middle + s.head<2>();
  fit.radius = std::sqrt(r2);
  return fit;
}

void step(RoundFit& fit, const std::vector<RimPoint>& points, const std::vector<double>& weight,
          double u_oval) {
  Matrix5 m = Matrix5::Zero();
  Vector5 v = Vector5::Zero();
  double total = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (weight[i] == 0) continue;
    const Polar place = polar(fit, points[i].mm);
    const Vector5 row = row_at(place);
    m += weight[i] * row * row.transpose();
    v += weight[i] * miss(fit, place) * row;
    total += weight[i];
  }
  // The prior on ovality in the weights' own measure: as good as a handful of points at its size.
  const double stiff = u_oval > 0
                           ? 0.02 * total * std::pow(std::max(fit.scatter, 1e-9) / u_oval, 2) + 1e-9 * total
                           : 1e9 * total;
  for (const Eigen::Index k : {3, 4}) {
    m(k, k) += stiff;
    v[k] -= stiff * (k == 3 ? fit.oval_cos : fit.oval_sin);
  }
  m.diagonal().array() += 1e-12 * total;
  const Vector5 change = m.ldlt().solve(v);
  fit.centre += change.head<2>();
  fit.radius += change[2];
  fit.oval_cos += change[3];
  fit.oval_sin += change[4];
}

constexpr int kBins = 36;

// Neighbouring points share the rim's roughness and the light: the rim counts as some dozens of stretches,
// each one observation.
void state_uncertainty(RoundFit& fit, const std::vector<RimPoint>& points, double u_oval) {
  std::array<double, kBins> sum{}, count{};
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!fit.inlier[i]) continue;
    const Point2 d = points[i].mm - fit.centre;
    const double turn = std::atan2(d.y(), d.x()) / (2 * M_PI) + 0.5;
    const auto bin = static_cast<std::size_t>(std::clamp(static_cast<int>(turn * kBins), 0, kBins - 1));
    sum[bin] += miss(fit, points[i].mm);
    count[bin] += 1;
  }
  Matrix5 m = Matrix5::Zero();
  double squares = 0, bins = 0;
  for (std::size_t b = 0; b < kBins; ++b) {
    if (count[b] < 1) continue;
    const double angle = ((static_cast<double>(b) + 0.5) / kBins - 0.5) * 2 * M_PI;
    const Vector5 row = row_at({std::cos(angle), std::sin(angle), 1});
    m += row * row.transpose();
    squares += std::pow(sum[b] / count[b], 2);
    bins += 1;
  }
  fit.bin_scatter = std::sqrt(squares / std::max(1.0, bins - 5));
  const double variance = fit.bin_scatter * fit.bin_scatter;
  for (const Eigen::Index k : {3, 4}) m(k, k) += u_oval > 0 ? variance / (u_oval * u_oval) + 1e-9 : 1e9;
  m.diagonal().array() += 1e-9;
  const Matrix5 c = m.inverse() * variance;
  fit.u_radius = std::sqrt(c(2, 2));
  fit.u_oval = std::sqrt(0.5 * (c(3, 3) + c(4, 4)));
}

}  // namespace

std::optional<RoundFit> fit_round(const std::vector<RimPoint>& points, double u_roundness) {
  if (points.size() < 5) return std::nullopt;
  std::vector<double> weight(points.size(), 1.0);
  auto fit = first_circle(points, weight);
  if (!fit) return std::nullopt;
  std::vector<double> away(points.size());
  for (int round = 0; round < 18; ++round) {
    for (std::size_t i = 0; i < points.size(); ++i) away[i] = std::abs(miss(*fit, points[i].mm));
    fit->scatter = std::max(1.4826 * median(away), 1e-9);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double scale = std::max(fit->scatter, points[i].u);
      const double z = away[i] / (4.7 * scale);
      const double tukey = z < 1 ? (1 - z * z) * (1 - z * z) : 0;
      // Least absolute distance first: a large chip would drag a fit that starts from squares along with it.
      weight[i] = round < 6 ? 1 / (scale * std::max(away[i], 0.5 * scale)) : tukey / (scale * scale);
    }
    if (std::accumulate(weight.begin(), weight.end(), 0.0) <= 0) return std::nullopt;
    step(*fit, points, weight, round < 8 ? 0 : u_roundness * fit->radius);
    if (!(fit->radius > 0) || !fit->centre.allFinite()) return std::nullopt;
  }
  for (std::size_t i = 0; i < points.size(); ++i) {
    fit->inlier.push_back(std::abs(miss(*fit, points[i].mm)) < 3.5 * std::max(fit->scatter, points[i].u));
  }
  state_uncertainty(*fit, points, u_roundness * fit->radius);
  return fit;
}

std::optional<RoundFit> fit_round_weighted(const std::vector<RimPoint>& points, double u_roundness) {
  if (points.size() < 3) return std::nullopt;
  std::vector<double> weight;
  for (const RimPoint& p : points) weight.push_back(1 / (p.u * p.u));
  auto fit = first_circle(points, weight);
  if (!fit) return std::nullopt;
  Matrix5 normal = Matrix5::Zero();
  double excess = 1;
  for (int round = 0; round < 15; ++round) {
    normal = Matrix5::Zero();
    Vector5 right = Vector5::Zero();
    std::vector<double> z2;
    for (const RimPoint& p : points) {
      const Polar place = polar(*fit, p.mm);
      const double away = miss(*fit, place), z = away / (p.u * std::sqrt(excess));
      const double w = 1 / (p.u * p.u * (1 + z * z / 6));
      const Vector5 row = row_at(place);
      normal += w * row * row.transpose();
      right += w * away * row;
      z2.push_back(away * away / (p.u * p.u));
    }
    excess = std::max(1.0, median(z2) / 0.455);
    const double stiff = u_roundness > 0 ? excess / std::pow(u_roundness * fit->radius, 2) : 1e12;
    for (const Eigen::Index k : {3, 4}) {
      normal(k, k) += stiff;
      right[k] -= stiff * (k == 3 ? fit->oval_cos : fit->oval_sin);
    }
    const Vector5 change = normal.ldlt().solve(right);
    fit->centre += change.head<2>();
    fit->radius += change[2];
    fit->oval_cos += change[3];
    fit->oval_sin += change[4];
    if (!(fit->radius > 0) || !fit->centre.allFinite()) return std::nullopt;
  }
  const Matrix5 covariance = normal.inverse() * excess;
  fit->u_radius = std::sqrt(covariance(2, 2));
  fit->u_oval = std::sqrt(0.5 * (covariance(3, 3) + covariance(4, 4)));
  double squares = 0;
  for (const RimPoint& p : points) squares += std::pow(miss(*fit, p.mm), 2);
  fit->bin_scatter = std::sqrt(squares / std::max<double>(1, static_cast<double>(points.size()) - 5));
  fit->inlier.assign(points.size(), true);
  return fit;
}

std::optional<Circle> circle_through(const Point2& a, const Point2& b, const Point2& c) {
  const Point2 p = b - a, q = c - a;
  const double d = 2 * (p.x() * q.y() - p.y() * q.x());
  if (std::abs(d) < 1e-9 * (p.squaredNorm() + q.squaredNorm())) return std::nullopt;
  const Point2 u((q.y() * p.squaredNorm() - p.y() * q.squaredNorm()) / d,
                 (p.x() * q.squaredNorm() - q.x() * p.squaredNorm()) / d);
  return Circle{a + u, u.norm()};
}

}  // namespace spile::vision
