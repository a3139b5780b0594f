#include "vision/near_rim.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/median.hpp"
#include "vision/ray_edges.hpp"

namespace spile::vision {
namespace {

constexpr int kRays = 96;
constexpr double kWidest = 1.5;  // radius of a near rim over that of its far rim
constexpr double kOval = 0.1;    // of a circle seen at 35 degrees
constexpr double kLeastSupport = 0.65;
constexpr double kOtherColour = 9;  // coded values: wall against hull
constexpr double kSameColour = 6;   // coded values: hull against hull, in about the same light
constexpr double kBandPx = 8;       // the blur of both its borders left aside
constexpr double kGapPx = 5;        // where the wall is narrower than that it shows no colour of its own

using Coded = std::array<float, 3>;  // luma and chroma as stored

Coded coded_at(const ColourView& view, const Point2& px) {
  return view.ycc_at(px.x(), px.y());
}

// Least median difference of colour, ray by ray, between places across the band within the curve and just
// beyond it: a wall reaches all the way, between a rim and an old ring of sealant the hull shows.
double wall_against_hull(const RimPlace& place, const FineRim& rim, const NearCircle& curve) {
  double least = 1e9;
  for (const double share : {0.2, 0.5, 0.8}) {
    std::array<std::vector<double>, 3> difference;
    for (int k = 0; k < kRays; ++k) {
      const double angle = 2 * M_PI * k / kRays;
      const Point2 way(std::cos(angle), std::sin(angle));
      const double inner = rim.fit.radius_at(angle), outer = curve.radius_at(angle);
      if (outer - inner < 2 * kGapPx * rim.mm_per_px) continue;
      const auto px = [&](double r) {
        const Point2 mm = curve.centre + r * way;
        return place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
      };
      const Point2 wall = px(inner + share * (outer - inner)), hull = px(outer + kGapPx * rim.mm_per_px);
      if (!place.view.holds(wall.x(), wall.y()) || !place.view.holds(hull.x(), hull.y())) continue;
      const Coded a = coded_at(place.view, wall), b = coded_at(place.view, hull);
      for (std::size_t c = 0; c < 3; ++c) difference[c].push_back(static_cast<double>(a[c] - b[c]));
    }
    if (difference[0].size() < kRays / 4) return 0;
    double square = 0;
    for (auto& channel : difference) square += std::pow(median(channel), 2) / 3;
    least = std::min(least, std::sqrt(square));
  }
  return least;
}

// Share of the rays with an edge on the curve, where it stands clear of the rim within.
double support_of(const TrueCurve& curve, const FineRim& rim) {
  double clear = 0;
  for (int k = 0; k < kRays; ++k) {
    const double angle = 2 * M_PI * k / kRays;
    if (curve.curve.radius_at(angle) - rim.fit.radius_at(angle) > kGapPx * rim.mm_per_px) ++clear;
  }
  return clear > kRays / 3 ? static_cast<double>(curve.px.size()) / clear : 0;
}

std::optional<FineRim> rim_on(const RimPlace& place, const TrueCurve& curve, double u_roundness) {
  FineRim out;
  std::vector<RimPoint> points;
  for (const Point2& px : curve.px) {
    RimSample sample;
    sample.px = px;
    const auto mm = place.plane.mm_from_px(px, place.z);
    if (!mm) continue;
    sample.mm = *mm;
    sample.mm_per_px = place.plane.mm_per_px(px, place.z);
    sample.u_mm = 0.3 * sample.mm_per_px;
    sample.contrast = curve.contrast;
    out.samples.push_back(sample);
    points.push_back({sample.mm, sample.u_mm});
  }
  const auto fit = fit_round(points, u_roundness);
  if (!fit) return std::nullopt;
  out.fit = *fit;
  for (std::size_t i = 0; i < out.samples.size(); ++i) out.samples[i].inlier = fit->inlier[i];
  out.directions = kRays;
  out.seen = curve.support;
  out.contrast = curve.contrast;
  out.mm_per_px = place.foot(fit->centre, fit->radius, 0).mm_per_px;
  return out;
}

// Median difference of colour, ray by ray, between a share of the way across the band and a place beyond the
// outer circle.
struct Band {
  const RimPlace& place;
  const FineRim &outer, &inner;

  [[nodiscard]] std::optional<double> inner_radius(double angle) const {
    const Point2 way(std::cos(angle), std::sin(angle)), d = inner.fit.centre - outer.fit.centre;
    const double along = d.dot(way), r = inner.fit.radius;
    const double square = r * r - d.squaredNorm() + along * along;
    if (square < 0) return std::nullopt;
    return along + std::sqrt(square);
  }
  [[nodiscard]] std::optional<double> difference(double share, double beyond) const {
    std::array<std::vector<double>, 3> by_channel;
    for (int k = 0; k < kRays; ++k) {
      const double angle = 2 * M_PI * k / kRays;
      const Point2 way(std::cos(angle), std::sin(angle));
      const double far = outer.fit.radius_at(angle);
      const auto near = inner_radius(angle);
      if (!near || far - *near < kBandPx * outer.mm_per_px) continue;
      const auto px = [&](double r) {
        const Point2 mm = outer.fit.centre + r * way;
        return place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
      };
      const Point2 band = px(*near + share * (far - *near)),
                   hull = px((1 + beyond) * far + 3 * outer.mm_per_px);
      if (!place.view.holds(band.x(), band.y()) || !place.view.holds(hull.x(), hull.y())) continue;
      const Coded a = coded_at(place.view, band), b = coded_at(place.view, hull);
      for (std::size_t c = 0; c < 3; ++c) by_channel[c].push_back(static_cast<double>(a[c] - b[c]));
    }
    if (by_channel[0].size() < kRays / 8) return std::nullopt;
    double square = 0;
    for (auto& channel : by_channel) square += std::pow(median(channel), 2) / 3;
    return std::sqrt(square);
  }
};

}  // namespace

bool wall_between(const RimPlace& place, const FineRim& outer, const FineRim& inner) {
  const Band band{place, outer, inner};
  for (const double share : {0.25, 0.5, 0.75}) {
    for (const double beyond : {0.0, 0.08, 0.16, 0.3}) {
      const auto difference = band.difference(share, beyond);
      if (difference && *difference < kSameColour) return false;
    }
  }
  return true;
}

bool hull_within(const RimPlace& place, const FineRim& rim) {
  for (const double inner : {0.93, 0.86, 0.79, 0.72, 0.65}) {
    std::array<std::vector<double>, 3> by_channel;
    double alike = 0;
    for (int k = 0; k < kRays; ++k) {
      const double angle = 2 * M_PI * k / kRays;
      const auto coded = [&](double radius) -> std::optional<Coded> {
        const Point2 mm = rim.fit.centre + radius * Point2(std::cos(angle), std::sin(angle));
        const Point2 px = place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
        if (!place.view.holds(px.x(), px.y())) return std::nullopt;
        return coded_at(place.view, px);
      };
      const double radius = rim.fit.radius_at(angle);
      const auto a = coded(inner * radius), b = coded(1.04 * radius + 3 * rim.mm_per_px);
      if (!a || !b) continue;
      double square = 0;
      for (std::size_t c = 0; c < 3; ++c) {
        by_channel[c].push_back(static_cast<double>((*a)[c] - (*b)[c]));
        square += by_channel[c].back() * by_channel[c].back() / 3;
      }
      alike += square < 15 * 15 ? 1 : 0;
    }
    const auto rays = static_cast<double>(by_channel[0].size());
    if (rays < kRays / 2 || alike < 0.7 * rays) continue;
    double square = 0;
    for (auto& channel : by_channel) square += std::pow(median(channel), 2) / 3;
    if (square < kSameColour * kSameColour) return true;
  }
  return false;
}

std::optional<FineRim> rim_about(const RimPlace& place, const FineRim& rim, double u_roundness) {
  const double middle = 0.5 * (1 + kWidest) * rim.fit.radius;
  const double reach = (middle - 0.99 * rim.fit.radius) / rim.mm_per_px;
  auto rays = rays_round(place, {rim.fit.centre, middle}, kRays, reach);
  // The rim itself is none of the edges sought.
  for (Ray& ray : rays) {
    const double inner = (rim.fit.radius_at(ray.angle) - middle) / ray.foot.mm_per_px + 4;
    std::erase_if(ray.peaks, [&](const EdgePeak& p) { return p.offset < inner; });
  }
  const double tolerance = 1.5 * rim.mm_per_px;
  std::optional<FineRim> best;
  for (const double scale : {1.04, 1.09, 1.16, 1.26, 1.38}) {
    const Circle about{rim.fit.centre, scale * rim.fit.radius};
    const auto curve = truest_curve(place, rays, about, tolerance, kOval);
    if (!curve || support_of(*curve, rim) < kLeastSupport) continue;
    if (wall_against_hull(place, rim, curve->curve) < kOtherColour) continue;
    auto found = rim_on(place, *curve, u_roundness);
    if (found && (!best || found->fit.radius < best->fit.radius)) best = std::move(found);
  }
  return best;
}

Point2 wall_side(const RimPlace& place, const FineRim& rim) {
  const auto px = [&](double share, double angle) {
    const Point2 mm =
        rim.fit.centre + share * rim.fit.radius_at(angle) * Point2(std::cos(angle), std::sin(angle));
    return place.plane.px_from_mm(Point3(mm.x(), mm.y(), place.z));
  };
  std::array<std::vector<double>, 3> middle;
  std::vector<std::pair<Point2, Coded>> within;
  const Point2 centre = px(0, 0);
  for (int k = 0; k < kRays; ++k) {
    const double angle = 2 * M_PI * k / kRays;
    const Point2 inner = px(0.4, angle), outer = px(0.95, angle);
    if (!place.view.holds(inner.x(), inner.y()) || !place.view.holds(outer.x(), outer.y())) continue;
    const Coded colour = coded_at(place.view, inner);
    for (std::size_t c = 0; c < 3; ++c) middle[c].push_back(static_cast<double>(colour[c]));
    within.emplace_back((outer - centre).normalized(), coded_at(place.view, outer));
  }
  if (within.size() < kRays / 2) return Point2::Zero();
  const std::array<double, 3> bore{median(middle[0]), median(middle[1]), median(middle[2])};
  Point2 sum = Point2::Zero();
  double clear = 0, most = 0;
  for (const auto& [way, colour] : within) {
    double square = 0;
    for (std::size_t c = 0; c < 3; ++c) square += std::pow(static_cast<double>(colour[c]) - bore[c], 2) / 3;
    sum += std::sqrt(square) * way;
    clear += std::sqrt(square);
    most = std::max(most, std::sqrt(square));
  }
  return most < 2 * kOtherColour ? Point2::Zero() : Point2(sum / clear);
}

}  // namespace spile::vision
