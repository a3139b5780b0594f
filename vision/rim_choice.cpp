#include "vision/rim_choice.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kSteepestTangent = 0.7;  // of the camera's tilt, where it is not known

bool same_rim(const FineRim& a, const FineRim& b) {
  const double r = std::max(a.fit.radius, b.fit.radius);
  return (a.fit.centre - b.fit.centre).norm() < 0.12 * r && std::abs(a.fit.radius - b.fit.radius) < 0.09 * r;
}

bool overlap(const FineRim& a, const FineRim& b) {
  return (a.fit.centre - b.fit.centre).norm() < std::max(a.fit.radius, b.fit.radius);
}

// Whether `inner` is what a circle like `outer`, some way below it, looks like from the camera.
bool seen_through(const FineRim& outer, const FineRim& inner, const Plane& plane, double z, RimRule rule) {
  const double shrink = 1 - inner.fit.radius / outer.fit.radius;
  const Point3 eye = plane.camera_mm();
  const Point2 expected = outer.fit.centre + shrink * (eye.head<2>() - outer.fit.centre);
  const double depth = shrink / (1 - shrink) * (eye.z() - z);
  if (rule == RimRule::NearRimAnyTilt) {
    const double foot = kSteepestTangent * (eye.z() - z);
    return shrink > 0 && depth < 1.5 * outer.fit.radius &&
           (inner.fit.centre - outer.fit.centre).norm() < shrink * foot + 3 * inner.mm_per_px;
  }
  const double tolerance = 0.04 * outer.fit.radius + 3 * inner.mm_per_px;
  return shrink > 0 && depth < 4 * outer.fit.radius && (inner.fit.centre - expected).norm() < tolerance;
}

// Whether `a` should stand for the opening rather than `b`.
bool better(const FineRim& a, const FineRim& b, const Plane& plane, double z, RimRule rule) {
  const FineRim& outer = a.fit.radius > b.fit.radius ? a : b;
  const FineRim& inner = a.fit.radius > b.fit.radius ? b : a;
  const bool a_is_outer = &outer == &a;
  const bool one_size = outer.fit.radius - inner.fit.radius < 0.015 * outer.fit.radius;
  if (one_size && same_rim(a, b)) return clearness(a) > clearness(b);
  if (rule == RimRule::Outermost) return a_is_outer;
  if (seen_through(outer, inner, plane, z, rule) && clearness(outer) > 0.4 * clearness(inner))
    return a_is_outer;
  // A ring round the rim, or two fits to one rim: the clearer.
  return clearness(a) > clearness(b);
}

}  // namespace

double clearness(const FineRim& rim) {
  const double scatter_px = rim.fit.scatter / rim.mm_per_px;
  const double oval = rim.fit.oval() / rim.fit.radius;
  return rim.seen * std::min(rim.contrast, 100.0) / (scatter_px + 0.4) / (1 + oval / 0.04);
}

bool is_rim(const FineRim& rim) {
  const double scatter_px = rim.fit.scatter / rim.mm_per_px;
  const double roundness = rim.fit.scatter / rim.fit.radius;
  return rim.seen > 0.5 && rim.contrast > 12 && (scatter_px < 0.85 || roundness < 0.008) &&
         roundness < 0.04 && rim.fit.oval() < 0.06 * rim.fit.radius;
}

std::vector<FineRim> one_rim_each(std::vector<FineRim> rims, const Plane& plane, double z, RimRule rule) {
  std::vector<FineRim> out;
  for (FineRim& rim : rims) {
    bool keep = true;
    for (std::size_t i = 0; i < out.size() && keep;) {
      if (!overlap(rim, out[i])) {
        ++i;
      } else if (better(rim, out[i], plane, z, rule)) {
        out.erase(out.begin() + static_cast<std::ptrdiff_t>(i));
      } else {
        keep = false;
      }
    }
    if (keep) out.push_back(std::move(rim));
  }
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.fit.radius > b.fit.radius; });
  return out;
}

}  // namespace spile::vision
