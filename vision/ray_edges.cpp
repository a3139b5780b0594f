#include "vision/ray_edges.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <random>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kLeastStep = 7;  // coded values

struct Place {
  std::size_t ray = 0;
  double angle = 0, radius = 0;  // about the centre of the search, mm
  double offset = 0, contrast = 0;
};

std::vector<EdgePeak> peaks_along(const ColourProfile& colours, double reach) {
  std::vector<EdgePeak> out;
  for (double at = -reach + 2; at < reach - 1; at += 3) {
    for (const EdgePeak& p : edge_peaks(best_mixture(colours, at), kLeastStep)) {
      const bool known = std::any_of(out.begin(), out.end(),
                                     [&](const EdgePeak& q) { return std::abs(q.offset - p.offset) < 1.2; });
      if (!known) out.push_back(p);
    }
  }
  return out;
}

std::vector<Place> places_of(const RimPlace& place, const std::vector<Ray>& rays, const Circle& about) {
  std::vector<Place> out;
  for (std::size_t k = 0; k < rays.size(); ++k) {
    for (const EdgePeak& p : rays[k].peaks) {
      const auto mm = place.plane.mm_from_px(rays[k].foot.px + p.offset * rays[k].foot.normal, place.z);
      if (!mm) continue;
      const Point2 d = *mm - about.centre;
      out.push_back({k, std::atan2(d.y(), d.x()), d.norm(), p.offset, std::abs(p.contrast)});
    }
  }
  return out;
}

// For each ray the place nearest to the curve, with how far off it is.
struct Nearest {
  const Place* place = nullptr;
  double miss = 0;
};

std::vector<Nearest> nearest_places(const std::vector<Place>& places, const NearCircle& curve,
                                    std::size_t rays) {
  std::vector<Nearest> out(rays);
  for (const Place& p : places) {
    const double miss = p.radius - curve.radius_at(p.angle);
    Nearest& best = out[p.ray];
    if (!best.place || std::abs(miss) < std::abs(best.miss)) best = {&p, miss};
  }
  return out;
}

double score_of(const std::vector<Nearest>& nearest, double tolerance) {
  double sum = 0;
  for (const Nearest& n : nearest) {
    const double z = n.miss / tolerance;
    if (n.place && std::abs(z) < 1) sum += 1 - z * z;
  }
  return sum;
}

// One round of weighted least squares on the places near the curve.
NearCircle improved(const std::vector<Nearest>& nearest, const NearCircle& curve, double tolerance,
                    double oval) {
  const int unknowns = oval > 0 ? 5 : 3;
  Eigen::MatrixXd m = Eigen::MatrixXd::Zero(unknowns, unknowns);
  Eigen::VectorXd v = Eigen::VectorXd::Zero(unknowns);
  for (const Nearest& n : nearest) {
    if (!n.place || std::abs(n.miss) > tolerance) continue;
    const double z = n.miss / tolerance, weight = (1 - z * z) * (1 - z * z), a = n.place->angle;
    Eigen::VectorXd row(unknowns);
    row.head(3) << 1, std::cos(a), std::sin(a);
    if (unknowns == 5) row.tail(2) << std::cos(2 * a), std::sin(2 * a);
    m += weight * row * row.transpose();
    v += weight * n.miss * row;
  }
  m.diagonal().array() += 1e-9;
  if (unknowns == 5) {
    const double hold = std::pow(tolerance / (oval * curve.radius), 2);
    m.diagonal().tail(2).array() += hold;
    v.tail(2) -= hold * Eigen::Vector2d(curve.cos2, curve.sin2);
  }
  const Eigen::VectorXd x = m.ldlt().solve(v);
  NearCircle out = curve;
  out.radius += x[0];
  out.cos1 += x[1];
  out.sin1 += x[2];
  if (unknowns == 5) {
    out.cos2 += x[3];
    out.sin2 += x[4];
  }
  return out;
}

// Circles through three places, and the start itself at a few sizes: where the improving begins.
std::vector<NearCircle> starts_of(const std::vector<Place>& places, const Circle& about, double tolerance,
                                  std::size_t rays, double oval) {
  std::mt19937 random(2718);
  std::uniform_int_distribution<std::size_t> pick(0, places.size() - 1);
  std::vector<std::pair<double, NearCircle>> tried;
  const auto add = [&](const Circle& c) {
    NearCircle curve{about.centre, c.radius, 0, 0, 0, 0};
    const Point2 d = c.centre - about.centre;
    curve.cos1 = d.x();
    curve.sin1 = d.y();
    tried.emplace_back(-score_of(nearest_places(places, curve, rays), tolerance * (oval > 0 ? 2 : 1)), curve);
  };
  for (const double scale : {0.92, 0.96, 1.0, 1.04, 1.08}) add({about.centre, scale * about.radius});
  for (int trial = 0; trial < 150; ++trial) {
    const Place &a = places[pick(random)], &b = places[pick(random)], &c = places[pick(random)];
    if (a.ray == b.ray || b.ray == c.ray || a.ray == c.ray) continue;
    const auto at = [&](const Place& p) -> Point2 {
      return about.centre + p.radius * Point2(std::cos(p.angle), std::sin(p.angle));
    };
    const auto circle = circle_through(at(a), at(b), at(c));
    if (!circle || (circle->centre - about.centre).norm() > 0.25 * about.radius) continue;
    if (std::abs(circle->radius / about.radius - 1) < 0.25) add(*circle);
  }
  std::sort(tried.begin(), tried.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<NearCircle> out;
  for (std::size_t i = 0; i < std::min<std::size_t>(8, tried.size()); ++i) out.push_back(tried[i].second);
  return out;
}

}  // namespace

double NearCircle::radius_at(double angle) const {
  return radius + cos1 * std::cos(angle) + sin1 * std::sin(angle) + cos2 * std::cos(2 * angle) +
         sin2 * std::sin(2 * angle);
}

std::vector<Ray> rays_round(const RimPlace& place, const Circle& circle, int directions, double reach_px) {
  std::vector<Ray> out;
  for (int k = 0; k < directions; ++k) {
    Ray ray;
    ray.angle = 2 * M_PI * k / directions;
    ray.foot = place.foot(circle.centre, circle.radius, ray.angle);
    ray.colours = sample_colours(place.view, {ray.foot.px.x(), ray.foot.px.y()},
                                 {ray.foot.normal.x(), ray.foot.normal.y()}, -reach_px, reach_px);
    if (!ray.colours.light.empty()) ray.peaks = peaks_along(ray.colours, reach_px);
    out.push_back(std::move(ray));
  }
  return out;
}

std::optional<TrueCurve> truest_curve(const RimPlace& place, const std::vector<Ray>& rays,
                                      const Circle& about, double tolerance, double oval) {
  const auto places = places_of(place, rays, about);
  if (places.size() < rays.size() / 3) return std::nullopt;
  NearCircle best;
  double most = 0;
  for (NearCircle curve : starts_of(places, about, tolerance, rays.size(), oval)) {
    for (const double loose : {3.0, 2.0, 1.4, 1.0, 1.0, 1.0})
      curve = improved(nearest_places(places, curve, rays.size()), curve, loose * tolerance, oval);
    const double now = score_of(nearest_places(places, curve, rays.size()), tolerance);
    if (now > most) {
      most = now;
      best = curve;
    }
  }
  TrueCurve out;
  out.curve = best;
  std::vector<double> miss, contrast;
  for (const Nearest& n : nearest_places(places, best, rays.size())) {
    if (!n.place || std::abs(n.miss) > 1.5 * tolerance) continue;
    const Ray& ray = rays[n.place->ray];
    const auto edge = fit_edge(best_mixture(ray.colours, n.place->offset, 3), n.place->offset, 3, 5);
    if (!edge) continue;
    out.px.push_back(ray.foot.px + edge->offset * ray.foot.normal);
    miss.push_back(std::abs(n.miss));
    contrast.push_back(n.place->contrast);
  }
  if (out.px.size() < rays.size() / 3) return std::nullopt;
  out.support = static_cast<double>(out.px.size()) / static_cast<double>(rays.size());
  out.scatter = 1.4826 * median(miss);
  out.contrast = median(contrast);
  return out;
}

}  // namespace spile::vision
