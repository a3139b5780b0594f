#include "vision/disc_outline.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kEdgePx = 0.4;       // tone curve, glare and sharpening move an outline by about this much
constexpr double kEdgeShare = 0.005;  // of the radius: what counts as the edge of a rounded, lit, shaded rim
constexpr double kLoudest = 60;       // coded values
constexpr double kSecondVoice = 0.5;  // where the side is seen, either of its ends may not stand out
constexpr double kLeastSidePx = 1.2;  // narrower than that the side is not told from the rim

double fifth_of(std::vector<double> values) {
  if (values.empty()) return 1;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 5);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

struct Expected2 {
  double rim = 0, foot = 0;  // px along the ray
  [[nodiscard]] bool side_seen() const { return foot > rim + kLeastSidePx; }
};

Expected2 expected_on(const DiscRay& ray, const Plane& plane, const Circle& circle, double z,
                      double height_mm) {
  const auto along = [&](double at) {
    const auto mm = plane.mm_from_px(ray.foot, at);
    if (!mm) return 1e6;
    const Point2 p = circle.centre + circle.radius * (*mm - circle.centre).normalized();
    return (plane.px_from_mm(Point3(p.x(), p.y(), at)) - ray.foot).dot(ray.normal);
  };
  return {along(z), along(z - height_mm)};
}

const DiscEdge* nearest(const DiscRay& ray, double offset, double tolerance) {
  const DiscEdge* best = nullptr;
  for (const DiscEdge& e : ray.edges) {
    const double miss = std::abs(e.offset - offset);
    if (miss < tolerance && (!best || miss < std::abs(best->offset - offset))) best = &e;
  }
  return best;
}

double loudest(const DiscRay& ray, double offset, double tolerance) {
  double best = 0;
  for (const DiscEdge& e : ray.edges) {
    const double z = (e.offset - offset) / tolerance;
    if (std::abs(z) < 1) best = std::max(best, (1 - z * z) * e.voice);
  }
  return best;
}

}  // namespace

double disc_edge_doubt(double radius_px) {
  return std::hypot(kEdgePx / radius_px, kEdgeShare);
}

DiscRays disc_rays(const RimPlace& place, const Circle& about, double reach_px) {
  DiscRays out;
  out.mm_per_px = place.foot(about.centre, about.radius, 0).mm_per_px;
  const int directions = std::clamp(static_cast<int>(2 * M_PI * about.radius / out.mm_per_px / 2), 72, 240);
  std::vector<double> blur;
  for (const Ray& ray : rays_round(place, about, directions, reach_px)) {
    DiscRay seen{ray.foot.px, ray.foot.normal, {}};
    for (const EdgePeak& peak : ray.peaks) {
      const auto edge = fit_edge(best_mixture(ray.colours, peak.offset, 3), peak.offset, 3, 6);
      if (!edge) continue;
      blur.push_back(edge->blur);
      const double voice = std::sqrt(std::min(std::abs(edge->contrast()), kLoudest) / kLoudest) /
                           std::max(1.0, edge->blur / 1.5);
      seen.edges.push_back({edge->offset, voice, seen.foot + edge->offset * seen.normal});
    }
    out.rays.push_back(std::move(seen));
  }
  out.blur_px = fifth_of(std::move(blur));
  return out;
}

double agreement(const DiscRays& seen, const Plane& plane, const Circle& circle, double z, double height_mm,
                 double tolerance_px) {
  double sum = 0;
  for (const DiscRay& ray : seen.rays) {
    const Expected2 expected = expected_on(ray, plane, circle, z, height_mm);
    const double rim = loudest(ray, expected.rim, tolerance_px);
    const double foot = expected.side_seen() ? loudest(ray, expected.foot, tolerance_px) : 0;
    sum += std::max(rim, foot) + kSecondVoice * std::min(rim, foot);
  }
  return seen.rays.empty() ? 0 : sum / static_cast<double>(seen.rays.size());
}

DiscPlaces places_on(const DiscRays& seen, const Plane& plane, const Circle& circle, double z,
                     double height_mm, double tolerance_px) {
  DiscPlaces out;
  for (const DiscRay& ray : seen.rays) {
    const Expected2 expected = expected_on(ray, plane, circle, z, height_mm);
    if (const DiscEdge* rim = nearest(ray, expected.rim, tolerance_px)) out.rim.push_back(rim->px);
    if (!expected.side_seen()) continue;
    if (const DiscEdge* foot = nearest(ray, expected.foot, tolerance_px)) out.foot.push_back(foot->px);
  }
  return out;
}

}  // namespace spile::vision
