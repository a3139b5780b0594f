#include "vision/hexagon.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "metrology/uncertainty.hpp"
#include "vision/fitting_search.hpp"
#include "vision/hexagon_fit.hpp"
#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kUsualHeight = 10,
                 kHeightSpread = 3.5;     // mm, of a nut's face over the hull: common practice
constexpr double kFootU = 0.5;            // mm, of a height read off the foot
constexpr double kEdgeDefinition = 0.15;  // mm across flats: edges broken, paint
constexpr double kEdgePx = 0.1;
constexpr std::size_t kCandidates = 8;

double lowered(const Plane& plane, double hull_z, double height) {
  const double eye = plane.camera_mm().z() - hull_z;
  return (eye - height) / (eye - kUsualHeight);
}

// A circle as it would be at another height.
std::optional<Circle> seen_at(const Plane& plane, const Circle& circle, double z, double other) {
  const Point2 px = plane.px_from_mm(lift(circle.centre, z));
  const auto centre = plane.mm_from_px(px, other);
  if (!centre) return std::nullopt;
  return Circle{*centre, circle.radius * plane.mm_per_px(px, other) / plane.mm_per_px(px, z)};
}

// Across flats as any plane gives it: the mean over the three pairs of sides.
double across_in(const HexagonFit& fit, const RimPlace& place, const Plane& plane, double z) {
  double sum = 0;
  for (int side = 0; side < 3; ++side) {
    const auto a = plane.mm_from_px(place.plane.px_from_mm(lift(fit.middle_of(side), place.z)), z);
    const auto b = plane.mm_from_px(place.plane.px_from_mm(lift(fit.middle_of(side + 3), place.z)), z);
    sum += a && b ? (*a - *b).norm() / 3 : 0;
  }
  return sum;
}

}  // namespace

std::optional<HexagonSeen> find_hexagon(const Scene& scene, const ColourView& view,
                                        const std::vector<Circle>& round_things) {
  const FoundReference& reference = scene.reference;
  const RimPlace place{view, reference.plane, reference.hull_z() + kUsualHeight};
  std::optional<HexagonFit> best;
  for (std::size_t i = 0; i < std::min(kCandidates, round_things.size()) && !scene.stopped(); ++i) {
    const auto within =
        seen_at(reference.plane, round_things[i], reference.hull_z() + kUsualRimHeight, place.z);
    auto fit = within ? hexagon_about(place, *within) : std::nullopt;
    if (fit && (!best || fit->support * fit->apothem > best->support * best->apothem)) best = fit;
  }
  if (!best) return std::nullopt;
  const auto foot = foot_of({view, reference.plane, reference.hull_z()}, *best, kUsualHeight);
  const double height = foot.value_or(kUsualHeight), u_height = foot ? kFootU : kHeightSpread;
  const double scale = lowered(reference.plane, reference.hull_z(), height);
  HexagonSeen out;
  out.centre_mm = best->centre;
  out.hexagon.across_flats_mm = 2 * best->apothem * scale;
  metrology::Budget budget;
  for (const LengthTerm& term : reference_terms(reference, [&](const Plane&plane, double hull_z) {
         return across_in(*best, place, plane, hull_z + kUsualHeight);
       }))
    budget.add(term.term, term.u);
  const double eye = reference.plane.camera_mm().z() - reference.hull_z();
  budget.add("height over the hull", out.hexagon.across_flats_mm * u_height / (eye - height));
  budget.add("flats", 2 * best->u_apothem);
  budget.add("edge location", 2 * kEdgePx * best->mm_per_px);
  budget.add("edge definition", kEdgeDefinition);
  out.hexagon.u95_mm = budget.expanded().u95;
  out.budget = budget.terms();
  for (int k = 0; k < 6; ++k)
    out.hexagon.corners.push_back(pixel(place.plane.px_from_mm(lift(best->corner(k), place.z))));
  return out;
}

}  // namespace spile::vision
