#include "vision/hole.hpp"

#include <algorithm>
#include <cmath>

#include "vision/bore_depth.hpp"
#include "vision/hole_report.hpp"
#include "vision/near_rim.hpp"
#include "vision/placing.hpp"
#include "vision/rim_arcs.hpp"
#include "vision/rim_by_hand.hpp"
#include "vision/rim_chips.hpp"
#include "vision/rim_choice.hpp"
#include "vision/rims_found.hpp"
#include "vision/roundness.hpp"
#include "vision/tilts.hpp"

namespace spile::vision {
namespace {

constexpr double kLeastSupport = 0.5;
// Of the hull's coat on the diameter, where too little of the rim is seen to tell (hole_report.cpp).
constexpr double kUsualLever = 0.8;
constexpr double kLargestRelativeU95 = 0.05, kLargestByHand = 0.15;
// Above this the hole's own roundness knows the plane's tilt better than the reference does.
constexpr double kAspectDoubt = 0.006;

tl::unexpected<Refusal> nothing_found() {
  return refuse("nothing-found",
                "No hole was found in this photo. If there is one, click on it, or take the photo again with "
                "the whole rim "
                "in view and in even light.");
}

tl::unexpected<Refusal> too_uncertain(const FoundReference& reference) {
  if (reference.by_hand) {
    return refuse("reference-too-small",
                  "The points placed by hand tell the scale too poorly for the hole. Choose points that lie "
                  "further apart, zoom in to place them closer, or take the photo with the printed card.");
  }
  if (reference.incomplete) {
    return refuse("reference-cropped",
                  "Too little of the reference lies in the photo to measure from it. Take the photo again "
                  "with all of it in "
                  "view.");
  }
  return refuse("reference-too-small",
                "The reference is too small in this photo for the distance to the hole. Move closer, or lay "
                "it nearer to "
                "the hole.");
}

tl::unexpected<Refusal> too_rough() {
  return refuse(
      "nothing-found",
      "The points tell the rim's size too poorly. Spread them further round it, add more, or zoom in "
      "to place them closer.");
}

std::vector<FineRim> rims_of(const Scene& scene, const RimPlace& place) {
  auto rims = scene.request.at.empty() ? found_rims(scene, place) : rims_asked_for(scene, place);
  for (FineRim& rim : rims) refine_by_arcs(place, scene.reference.blur_px, kRoundnessU, rim);
  return rims;
}

// The rims as they are seen in one plane; none when there are none, or the points by hand lie on none.
std::vector<FineRim> rims_in(const Scene& scene, const RimPlace& place) {
  const Request& request = scene.request;
  if (!request.rim_by_hand.empty()) {
    auto rim = rim_by_hand(place, request.rim_by_hand, request.snap_to_edges,
                           placing_px(request, scene.pixels.info), kRoundnessU);
    if (!rim) return {};
    if (!rim->placed && rim->seen > kLeastSupport) {
      refine_by_arcs(place, scene.reference.blur_px, kRoundnessU, *rim);
    } else if (!rim->placed) {
      rim->coat_lever = kUsualLever;
    }
    rim->wall = wall_side(place, *rim);
    return {std::move(*rim)};
  }
  return rims_of(scene, place);
}

struct Laid {
  FoundReference reference;
  std::vector<FineRim> rims;
};

// Rims are found where they are round, and so the more of them in the plane that is the right one.
double well_seen(const std::vector<FineRim>& rims) {
  double sum = 0;
  for (const FineRim& rim : rims) {
    const double scatter_px = rim.fit.scatter / rim.mm_per_px;
    sum += rim.seen * std::min(rim.contrast, 100.0) * rim.fit.radius / rim.mm_per_px / (scatter_px + 0.4);
  }
  return sum;
}

// Of the two planes a disc may lie in, the one in which the rims are rounder, and the rims as seen in it.
Laid in_either_plane(const Scene& scene, const ColourView& view) {
  const FoundReference& reference = scene.reference;
  const double z = reference.hull_z();
  const auto first = rims_in(scene, {view, reference.plane, z});
  const auto second = rims_in(scene, {view, *reference.other_plane, z});
  const auto& clearer = well_seen(first) >= well_seen(second) ? first : second;
  if (clearer.empty()) return {reference, {}};
  FoundReference held = held_by_roundness(reference, clearer, kRoundnessU);
  const bool turned = held.plane.rotation.col(2).dot(reference.plane.rotation.col(2)) <
                      held.plane.rotation.col(2).dot(reference.other_plane->rotation.col(2));
  const auto& chosen = turned ? second : first;
  auto rims = laid_into(chosen.empty() ? clearer : chosen, held.plane, z, kRoundnessU);
  return {std::move(held), std::move(rims)};
}

Laid in_one_plane(const Scene& scene, const ColourView& view) {
  const FoundReference& reference = scene.reference;
  const RimPlace place{view, reference.plane, reference.hull_z()};
  Laid out{reference, rims_in(scene, place)};
  if (out.rims.empty() || !scene.request.rim_by_hand.empty()) return out;
  const RoundFit& largest = out.rims.front().fit;
  if (aspect_doubt(reference, place.foot(largest.centre, 0.01 * largest.radius, 0).px) <= kAspectDoubt)
    return out;
  out.reference = held_by_roundness(reference, out.rims, kRoundnessU);
  out.rims = laid_into(std::move(out.rims), out.reference.plane, place.z, kRoundnessU);
  return out;
}

tl::unexpected<Refusal> bad_points() {
  return refuse("nothing-found",
                "The points do not lie on one round rim. Place at least three, well spread round it.");
}

// The tilts at which circles are looked for when nothing is seen square on: one direction each.
constexpr int kTiltsTried = 8;
constexpr double kTiltTriedDeg = 22;

// With the tilt not known: rims square on, or in whichever tilt shows them clearest; then again in the plane
// that their roundness tells.
std::vector<FineRim> rims_in_any_tilt(const Scene& scene, const ColourView& view) {
  const auto seen_in = [&](const FoundReference& reference) {
    const Scene here{scene.pixels, scene.request, reference, scene.stop};
    return rims_of(here, {view, reference.plane, reference.hull_z()});
  };
  auto rims = seen_in(scene.reference);
  const bool none = rims.empty();
  Plane used = scene.reference.plane;
  for (int k = 0; k < kTiltsTried && none && !scene.stopped(); ++k) {
    FoundReference tilted = scene.reference;
    const auto wanted = [&](const WeighedPlane& p) {
      const Point3 n = p.plane.rotation.col(2);
      const double turn = std::remainder(std::atan2(n.y(), n.x()) - 2 * M_PI * k / kTiltsTried, 2 * M_PI);
      return std::abs(p.plane.tilt_deg() - kTiltTriedDeg) < 2 && std::abs(turn) < M_PI / 12;
    };
    const auto plane = std::find_if(tilted.planes.begin(), tilted.planes.end(), wanted);
    if (plane == tilted.planes.end()) continue;
    tilted.plane = plane->plane;
    auto now = seen_in(tilted);
    if (now.empty() || (!rims.empty() && clearness(now.front()) <= clearness(rims.front()))) continue;
    rims = std::move(now);
    used = tilted.plane;
  }
  for (FineRim& rim : rims) {
    if (auto outer = rim_about({view, used, scene.reference.hull_z()}, rim, kRoundnessU))
      rim = *std::move(outer);
  }
  for (FineRim& rim : rims) rim.wall = wall_side({view, used, scene.reference.hull_z()}, rim);
  for (int round = 0; round < 2 && !rims.empty() && !scene.stopped(); ++round) {
    const FoundReference told = weighed_by_roundness(scene.reference, rims, kRoundnessU);
    rims = laid_into(std::move(rims), told.plane, told.hull_z(), kRoundnessU);
    const RimPlace place{view, told.plane, told.hull_z()};
    for (FineRim& rim : rims) {
      auto again = fine_rim(place, {rim.fit.centre, rim.fit.radius}, kRoundnessU);
      if (!again || !is_rim(*again)) continue;
      again->wall = rim.wall;
      rim = *std::move(again);
      refine_by_arcs(place, told.blur_px, kRoundnessU, rim);
    }
  }
  return rims;
}

// With the tilt carried as many planes: the one that the rims' roundness tells.
Laid in_told_plane(const Scene& scene, const ColourView& view) {
  const FoundReference& reference = scene.reference;
  auto rims = scene.request.rim_by_hand.empty() ? rims_in_any_tilt(scene, view)
                                                : rims_in(scene, {view, reference.plane, reference.hull_z()});
  FoundReference told = weighed_by_roundness(reference, rims, kRoundnessU);
  rims = laid_into(std::move(rims), told.plane, told.hull_z(), kRoundnessU);
  return {std::move(told), std::move(rims)};
}

}  // namespace

Expected<std::vector<Hole>> measure_holes(const Scene& scene, FoundReference& held) {
  const Request& request = scene.request;
  const ColourView view(scene.pixels);
  const bool by_hand = !request.rim_by_hand.empty();
  const auto [reference, rims] = !scene.reference.planes.empty() ? in_told_plane(scene, view)
                                 : scene.reference.other_plane   ? in_either_plane(scene, view)
                                                                 : in_one_plane(scene, view);
  if (rims.empty()) return by_hand ? bad_points() : nothing_found();
  held = reference;
  std::vector<Hole> holes;
  const RimPlace place{view, reference.plane, reference.hull_z()};
  for (FineRim rim : rims) {
    const bool chippable = request.subject != Subject::Disc && !rim.placed;
    const auto chips = chippable ? rim_chips(place, rim) : std::vector<RimChip>();
    if (leave_out(chips, rim)) refine_by_arcs(place, reference.blur_px, kRoundnessU, rim);
    Hole hole = described(rim, reference);
    hole.by_hand = by_hand;
    hole.chips = described(chips, place, rim);
    if (!chips.empty()) hole.edge_damage_mm = chips.front().depth_mm;
    if (!by_hand && request.subject != Subject::Disc) {
      if (const auto depth = bore_depth(place, rim)) {
        hole.depth_mm = depth->mm;
        hole.depth_u95_mm = 1.96 * depth->u_mm;
      }
    }
    if (request.subject == Subject::Disc) hole.rim = "disc";
    holes.push_back(std::move(hole));
  }
  // Who placed points knows that they are rough.
  const double largest = by_hand || reference.by_hand ? kLargestByHand : kLargestRelativeU95;
  std::erase_if(holes, [&](const Hole& hole) { return !(hole.u95_mm <= largest * hole.diameter_mm); });
  if (holes.empty()) return by_hand ? too_rough() : too_uncertain(reference);
  std::sort(holes.begin(), holes.end(),
            [](const Hole& a, const Hole& b) { return a.diameter_mm > b.diameter_mm; });
  return holes;
}

}  // namespace spile::vision
