#include "vision/fitting_search.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "vision/circle_search.hpp"

namespace spile::vision {
namespace {

constexpr double kSmallest = 9, kLargest = 90;  // mm, radius of a flange
constexpr double kRoundEnough = 0.35;  // mm, scatter of a turned or moulded rim; a bead of sealant is rougher

std::optional<Ring> ring_near(const RimPlace& place, const Circle& start) {
  const auto coarse = coarse_rim(place, start);
  if (!coarse || coarse->support < 0.45) return std::nullopt;
  auto fine = fine_rim(place, coarse->circle, 0);
  if (!fine || fine->seen < 0.45) return std::nullopt;
  return Ring{{fine->fit.centre, fine->fit.radius}, std::move(*fine)};
}

// How much a ring looks like the outside of a flange rather than a smear round it.
double quality(const Ring& ring) {
  const double rough = ring.rim.fit.scatter / kRoundEnough;
  return ring.rim.seen * std::pow(std::min(ring.rim.contrast, 80.0), 0.25) / (1 + rough * rough);
}

std::optional<Ring> bore_within(const RimPlace& place, const Ring& flange) {
  std::optional<Ring> best;
  for (double share = 0.28; share < 0.85; share *= 1.15) {
    auto ring = ring_near(place, {flange.circle.centre, share * flange.circle.radius});
    if (!ring || ring->circle.radius > 0.86 * flange.circle.radius) continue;
    if ((ring->circle.centre - flange.circle.centre).norm() > 0.12 * flange.circle.radius + 1) continue;
    // Of the circles inside a bore the widest is its edge; the others are its far end and its ledges.
    if (!best ||
        (quality(*ring) > 0.6 * quality(*best) && ring->circle.radius > 1.05 * best->circle.radius) ||
        quality(*ring) > 1.7 * quality(*best))
      best = std::move(ring);
  }
  return best;
}

}  // namespace

std::vector<Circle> circles_everywhere(const Scene& scene) {
  const auto& reference = scene.reference;
  std::vector<Circle> out;
  for (const auto& candidate : search_circles(scene.pixels, reference.plane,
                                              reference.hull_z() + kUsualRimHeight, reference.covered, 30))
    out.push_back({candidate.centre_mm, candidate.radius_mm});
  return out;
}

std::vector<Circle> circles_about(const Scene& scene, const std::vector<Hole>& round_things) {
  std::vector<Circle> out;
  for (const Hole& thing : round_things) {
    const auto centre = scene.reference.plane.mm_from_px(point(thing.centre_px), scene.reference.hull_z());
    if (!centre) continue;
    for (const double times : {1.0, 1.65, 2.0, 2.45})
      out.push_back({*centre, 0.5 * times * thing.diameter_mm});
  }
  return out;
}

std::optional<FittingRings> find_fitting(const Scene& scene, const ColourView& view,
                                         const std::vector<Circle>& candidates) {
  const auto& reference = scene.reference;
  const RimPlace low{view, reference.plane, reference.hull_z() + kUsualRimHeight};
  const RimPlace high{view, reference.plane, reference.hull_z() + kUsualBoreHeight};
  std::optional<FittingRings> best;
  double best_quality = 0;
  std::vector<Circle> known;
  for (const Circle& candidate : candidates) {
    if (scene.stopped()) return std::nullopt;
    if (candidate.radius < kSmallest || candidate.radius > kLargest) continue;
    const auto same = [&](const Circle& c) {
      return (c.centre - candidate.centre).norm() < 0.08 * c.radius &&
             std::abs(c.radius - candidate.radius) < 0.08 * c.radius;
    };
    if (std::any_of(known.begin(), known.end(), same)) continue;
    auto ring = ring_near(low, candidate);
    if (!ring) continue;
    known.push_back(ring->circle);
    if (quality(*ring) * 1.7 * std::sqrt(kLargest) < best_quality) continue;
    auto bore = bore_within(high, *ring);
    if (!bore) continue;
    // A flange holds its bore; the bore holds its own far end. Of two nested finds the outer one is the
    // fitting.
    const double now = quality(*ring) * std::sqrt(quality(*bore)) * std::sqrt(ring->circle.radius);
    if (now > best_quality) {
      best_quality = now;
      best = FittingRings{std::move(*ring), std::move(bore)};
    }
  }
  return best;
}

}  // namespace spile::vision
