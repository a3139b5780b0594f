#include "vision/rims_found.hpp"

#include <algorithm>
#include <cmath>

#include "vision/circle_search.hpp"
#include "vision/circles_about.hpp"
#include "vision/near_rim.hpp"
#include "vision/rim_choice.hpp"

namespace spile::vision {
namespace {

constexpr double kSmallestOpeningMm = 8;  // below this it is a fastener's hole, not an opening
constexpr double kLeastSupport = 0.5;
constexpr double kSamePx = 2;
constexpr std::size_t kCandidates = 12;

bool covered(const FoundReference& reference, const Point2& px) {
  return std::any_of(reference.covered.begin(), reference.covered.end(),
                     [&](const std::vector<PixelPoint>& polygon) {
                       bool inside = false;
                       for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
                         const PixelPoint &a = polygon[i], &b = polygon[j];
                         const bool crosses = (a.y > px.y()) != (b.y > px.y());
                         if (crosses && px.x() < (b.x - a.x) * (px.y() - a.y) / (b.y - a.y) + a.x)
                           inside = !inside;
                       }
                       return inside;
                     });
}

bool already_known(const std::vector<FineRim>& rims, const Circle& circle) {
  return std::any_of(rims.begin(), rims.end(), [&](const FineRim& rim) {
    return (rim.fit.centre - circle.centre).norm() < 0.02 * circle.radius &&
           std::abs(rim.fit.radius - circle.radius) < 0.02 * circle.radius;
  });
}

// A ring of old sealant has hull within it; a disc that lies on the hull may be of its colour.
bool may_be(const RimPlace& place, const FineRim& rim, RimRule rule) {
  return is_rim(rim) && (rule == RimRule::Outermost || !hull_within(place, rim));
}

void look_at(const RimPlace& place, const Circle& start, RimRule rule, std::vector<FineRim>& rims) {
  const auto coarse = coarse_rim(place, start);
  if (!coarse || coarse->support < kLeastSupport || already_known(rims, coarse->circle)) return;
  auto rim = fine_rim(place, coarse->circle, kRoundnessU);
  if (rim && may_be(place, *rim, rule)) rims.push_back(std::move(*rim));
}

// Every other circle about a rim that may be one.
void add_others(const RimPlace& place, const Circle& start, RimRule rule, std::vector<FineRim>& rims) {
  for (const CircleAbout& about : circles_about(place, start)) {
    const double slip = 0.004 * about.circle.radius + place.foot(start.centre, start.radius, 0).mm_per_px;
    const bool known = std::any_of(rims.begin(), rims.end(), [&](const FineRim& rim) {
      return (rim.fit.centre - about.circle.centre).norm() < slip &&
             std::abs(rim.fit.radius - about.circle.radius) < slip;
    });
    if (known) continue;
    auto other = fine_rim(place, about.circle, kRoundnessU, StepChoice::Nearest);
    if (other && may_be(place, *other, rule)) rims.push_back(std::move(*other));
  }
}

// The rim fitted in the usual way where that leads to the same place: closer steps were left aside to find
// it.
FineRim refitted(const RimPlace& place, FineRim rim) {
  if (rim.directions > kFewDirections) return rim;
  auto usual = fine_rim(place, {rim.fit.centre, rim.fit.radius}, kRoundnessU);
  if (!usual || !is_rim(*usual)) return rim;
  const double moved =
      (usual->fit.centre - rim.fit.centre).norm() + std::abs(usual->fit.radius - rim.fit.radius);
  return moved < kSamePx * rim.mm_per_px ? *std::move(usual) : std::move(rim);
}

// Each rim looked for once more, from outside and among all circles about it, lest it be the far rim or a
// mixture of the rim and what lies within.
std::vector<FineRim> settled(const RimPlace& place, std::vector<FineRim> rims, RimRule rule) {
  std::vector<FineRim> out;
  for (FineRim& rim : rims) {
    std::vector<FineRim> all;
    const Circle start{rim.fit.centre, rim.fit.radius};
    if (auto outer = fine_rim(place, start, kRoundnessU, StepChoice::Outermost); outer && is_rim(*outer)) {
      all.push_back(std::move(*outer));
    }
    all.push_back(std::move(rim));
    if (rule == RimRule::NearRim) add_others(place, start, rule, all);
    for (FineRim& best : one_rim_each(std::move(all), place, rule))
      out.push_back(refitted(place, std::move(best)));
  }
  return one_rim_each(std::move(out), place, rule);
}

RimRule near_rim_of(const FoundReference& reference) {
  return reference.planes.empty() ? RimRule::NearRim : RimRule::NearRimAnyTilt;
}

}  // namespace

std::vector<FineRim> found_rims(const Scene& scene, const RimPlace& place) {
  const FoundReference& reference = scene.reference;
  const auto candidates =
      search_circles(scene.pixels, reference.plane, reference.hull_z(), reference.covered, kCandidates);
  std::vector<FineRim> rims;
  for (const CircleCandidate& candidate : candidates) {
    if (scene.stopped()) break;
    if (2 * candidate.radius_mm < 0.8 * kSmallestOpeningMm) continue;
    const Point2 px =
        place.plane.px_from_mm(Point3(candidate.centre_mm.x(), candidate.centre_mm.y(), place.z));
    if (covered(reference, px)) continue;
    look_at(place, {candidate.centre_mm, candidate.radius_mm}, near_rim_of(reference), rims);
  }
  std::erase_if(rims, [](const FineRim& rim) { return 2 * rim.fit.radius < kSmallestOpeningMm; });
  const RimRule rule = near_rim_of(reference);
  rims = one_rim_each(std::move(rims), place, rule);
  return settled(place, std::move(rims), rule);
}

namespace {

// Rims about a point, whatever their size: circles of every radius are tried there.
std::vector<FineRim> rims_at(const Scene& scene, const RimPlace& place, const PixelPoint& at, RimRule rule) {
  const auto mm = place.plane.mm_from_px(point(at), place.z);
  if (!mm) return {};
  const double px = place.plane.mm_per_px(point(at), place.z);
  const double largest = 0.6 * std::max(scene.pixels.grey.cols, scene.pixels.grey.rows);
  std::vector<FineRim> rims;
  for (double radius = 9; radius < largest && !scene.stopped(); radius *= 1.22) {
    look_at(place, {*mm, radius * px}, rule, rims);
  }
  std::erase_if(rims,
                [&](const FineRim& rim) { return (rim.fit.centre - *mm).norm() > 0.8 * rim.fit.radius; });
  auto chosen = settled(place, one_rim_each(std::move(rims), place, rule), rule);
  if (chosen.size() > 1) {
    std::sort(chosen.begin(), chosen.end(), [&](const FineRim& a, const FineRim& b) {
      return (a.fit.centre - *mm).norm() / a.fit.radius < (b.fit.centre - *mm).norm() / b.fit.radius;
    });
    chosen.resize(1);
  }
  return chosen;
}

}  // namespace

std::vector<FineRim> rims_asked_for(const Scene& scene, const RimPlace& place) {
  const RimRule rule =
      scene.request.subject == Subject::Disc ? RimRule::Outermost : near_rim_of(scene.reference);
  std::vector<FineRim> rims;
  for (const PixelPoint& at : scene.request.at) {
    for (FineRim& rim : rims_at(scene, place, at, rule)) rims.push_back(std::move(rim));
  }
  return rims;
}

}  // namespace spile::vision
