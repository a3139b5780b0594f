#include "vision/rim_choice.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "vision/near_rim.hpp"

namespace spile::vision {
namespace {

constexpr double kSteepestTangent = 0.7;  // of the camera's tilt, where it is not known
constexpr double kHidden = 0.12;  // less of a near rim seen than of what lies below it: not by the light
constexpr double kCoatMm =
    1.5;  // a band narrower than that is the hull's coat seen from the side, whatever its colour
constexpr double kConcentric = 0.3;  // of the gap between a ring and the rim within

bool same_rim(const FineRim& a, const FineRim& b) {
  const double r = std::max(a.fit.radius, b.fit.radius);
  return (a.fit.centre - b.fit.centre).norm() < 0.12 * r && std::abs(a.fit.radius - b.fit.radius) < 0.09 * r;
}

bool overlap(const FineRim& a, const FineRim& b) {
  return (a.fit.centre - b.fit.centre).norm() < std::max(a.fit.radius, b.fit.radius);
}

// How a circle within another is placed: as the far rim of the same bore would be, as the rim within a ring
// on the hull would be, as either or as neither.
struct Placed {
  bool as_far_rim = false, as_within_ring = false;
};

Placed placed(const FineRim& outer, const FineRim& inner, const RimPlace& place, RimRule rule) {
  const double shrink = 1 - inner.fit.radius / outer.fit.radius;
  const Point3 eye = place.plane.camera_mm();
  const double height = eye.z() - place.z, depth = shrink / (1 - shrink) * height;
  const double away = (inner.fit.centre - outer.fit.centre).norm();
  Placed out;
  if (rule == RimRule::NearRimAnyTilt) {
    const double foot = kSteepestTangent * height;
    out.as_far_rim =
        shrink > 0 && depth < 1.5 * outer.fit.radius && away < shrink * foot + 3 * inner.mm_per_px;
    return out;
  }
  const Point2 expected = outer.fit.centre + shrink * (eye.head<2>() - outer.fit.centre);
  const double tolerance =
      0.02 * outer.fit.radius + 0.15 * (expected - outer.fit.centre).norm() + 2 * inner.mm_per_px;
  out.as_far_rim =
      shrink > 0 && depth < 4 * outer.fit.radius && (inner.fit.centre - expected).norm() < tolerance;
  out.as_within_ring =
      shrink > 0 && away < kConcentric * (outer.fit.radius - inner.fit.radius) + 1.5 * inner.mm_per_px;
  return out;
}

// Share of a rim that shows an edge on the side towards the camera's foot; nothing where the foot lies within
// it. There the near rim hides whatever lies below.
std::optional<double> seen_towards_foot(const FineRim& rim, const RimPlace& place) {
  const Point2 to_foot = place.plane.camera_mm().head<2>() - rim.fit.centre;
  if (to_foot.norm() < rim.fit.radius) return std::nullopt;
  const double towards = std::atan2(to_foot.y(), to_foot.x());
  double all = 0, seen = 0;
  for (const RimSample& s : rim.samples) {
    if (std::cos(s.angle - towards) < 0.5) continue;
    ++all;
    seen += s.inlier ? 1 : 0;
  }
  if (all < 6) return std::nullopt;
  return seen / all;
}

// Which of two circles about one opening looks like its near rim, and how much less the other may speak for
// itself to be overruled.
struct Verdict {
  bool outer = false;
  double least = 1;
};

Verdict near_one_of(const FineRim& outer, const FineRim& inner, const RimPlace& place, RimRule rule) {
  const Placed at = placed(outer, inner, place, rule);
  if (rule == RimRule::NearRimAnyTilt) return {at.as_far_rim, at.as_far_rim ? 0.4 : 1};
  if (at.as_far_rim != at.as_within_ring) return {at.as_far_rim, 0.15};
  const auto outer_seen = seen_towards_foot(outer, place), inner_seen = seen_towards_foot(inner, place);
  if (outer_seen && inner_seen && *outer_seen < *inner_seen - kHidden) return {false, 0.4};
  const double widest = outer.fit.radius - inner.fit.radius + (inner.fit.centre - outer.fit.centre).norm();
  const bool wall = widest < kCoatMm || wall_between(place, outer, inner);
  return {wall, at.as_far_rim ? 0.2 : wall ? 0.4 : 0.5};
}

// Clearness, and still more than in it how much of the circle is seen: one laid through half of the near rim
// and half of the far one has no edge elsewhere.
double voice(const FineRim& rim) {
  return clearness(rim) * std::pow(rim.seen, 3);
}

// Whether `a` should stand for the opening rather than `b`.
bool better(const FineRim& a, const FineRim& b, const RimPlace& place, RimRule rule) {
  const FineRim& outer = a.fit.radius > b.fit.radius ? a : b;
  const FineRim& inner = a.fit.radius > b.fit.radius ? b : a;
  const bool one_size =
      outer.fit.radius - inner.fit.radius < std::max(0.015 * outer.fit.radius, 2 * inner.mm_per_px);
  const bool same = one_size && same_rim(a, b);
  if (rule == RimRule::Outermost) return same ? clearness(a) > clearness(b) : &outer == &a;
  if (same) return voice(a) > voice(b);
  const Verdict verdict = near_one_of(outer, inner, place, rule);
  const FineRim &rim = verdict.outer ? outer : inner, &other = verdict.outer ? inner : outer;
  const FineRim& best = voice(rim) > verdict.least * voice(other) ? rim : other;
  return &best == &a;
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

std::vector<FineRim> one_rim_each(std::vector<FineRim> rims, const RimPlace& place, RimRule rule) {
  std::vector<FineRim> out;
  for (FineRim& rim : rims) {
    bool keep = true;
    for (std::size_t i = 0; i < out.size() && keep;) {
      if (!overlap(rim, out[i])) {
        ++i;
      } else if (better(rim, out[i], place, rule)) {
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
