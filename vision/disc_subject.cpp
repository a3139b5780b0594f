#include "vision/disc_subject.hpp"

#include <algorithm>
#include <cmath>

#include "metrology/uncertainty.hpp"
#include "vision/disc_choice.hpp"
#include "vision/disc_outline.hpp"
#include "vision/hole_report.hpp"
#include "vision/round_search.hpp"

namespace spile::vision {
namespace {

constexpr double kSmallestMm = 4, kLargestMm = 45;  // radius
constexpr double kRoundU = 0.03;         // of the radius: how oval light, side and shadow may make an outline
constexpr double kClearlyTilted = 0.85;  // minor to major axis of the reference's outline
constexpr double kSquareOnU = 0.035;     // rad, of a picture taken to be square on
constexpr double kTwoFacesU = 0.35;      // mm between the faces of two discs
// Of the diameter: whether the rounded rim, the side below it or its shadow is taken for the edge, on the
// reference and on what is measured. Real coins on a table differ from their published sizes by this much.
constexpr double kTwoEdgesU = 0.03;
constexpr double kLargestRelativeU95 = 0.15;

// The discs' faces in the reference's frame: as high as its own face if it is a disc, else so far above the
// hull.
FoundReference level_with_faces(FoundReference reference) {
  if (reference.kind == "disc") {
    reference.height_mm = 0;
    reference.u_height_mm = kTwoFacesU;
  } else {
    reference.height_mm -= kDiscHeightMm;
    reference.u_height_mm = std::hypot(reference.u_height_mm, kDiscHeightU);
  }
  return reference;
}

struct SizesPx {
  double smallest = 0, largest = 0;
};

SizesPx sizes_at(const FoundReference& reference, const PixelPoint& at) {
  const double mm_per_px = std::max(1e-6, reference.plane.mm_per_px(point(at), reference.hull_z()));
  return {kSmallestMm / mm_per_px, kLargestMm / mm_per_px};
}

std::vector<RoundSeen> asked_for(const Scene& scene) {
  std::vector<RoundSeen> out;
  for (const PixelPoint& at : scene.request.at) {
    if (scene.stopped()) break;
    const SizesPx sizes = sizes_at(scene.reference, at);
    if (auto seen = round_thing_at(scene.pixels, point(at), sizes.smallest, sizes.largest))
      out.push_back(*std::move(seen));
  }
  return out;
}

bool is_reference(const FoundReference& reference, const RoundSeen& seen) {
  return reference.kind == "disc" && seen.outline.holds(reference.plane.px_from_mm(Point3::Zero()));
}

std::vector<RoundSeen> made_out(const Scene& scene) {
  std::vector<RoundSeen> out;
  for (RoundSeen& seen : round_things(scene.pixels)) {
    const SizesPx sizes = sizes_at(scene.reference, pixel(seen.outline.centre));
    const double radius = seen.outline.mean_radius();
    if (radius > sizes.smallest && radius < sizes.largest && !is_reference(scene.reference, seen) &&
        disc_likeness(scene.pixels, seen) > kSurelyDisc)
      out.push_back(std::move(seen));
  }
  return out;
}

// ---- an outline as a rim, so that what is known of rims serves it
// -------------------------------------------

std::optional<FineRim> rim_of(const std::vector<Point2>& px, const Plane& plane, double z, double u_px,
                              double u_round) {
  FineRim rim;
  std::vector<RimPoint> points;
  for (const Point2& p : px) {
    const auto mm = plane.mm_from_px(p, z);
    if (!mm) continue;
    RimSample s;
    s.px = p;
    s.mm = *mm;
    s.mm_per_px = plane.mm_per_px(p, z);
    s.u_mm = u_px * s.mm_per_px;
    s.inlier = true;
    rim.mm_per_px += s.mm_per_px;
    points.push_back({s.mm, s.u_mm});
    rim.samples.push_back(s);
  }
  const auto fit = fit_round(points, u_round);
  if (!fit) return std::nullopt;
  rim.fit = *fit;
  rim.mm_per_px /= static_cast<double>(points.size());
  double inliers = 0;
  for (std::size_t i = 0; i < rim.samples.size(); ++i) {
    rim.samples[i].inlier = fit->inlier[i];
    inliers += fit->inlier[i] ? 1 : 0;
  }
  rim.directions = static_cast<int>(px.size());
  rim.seen = inliers / std::max<double>(1, static_cast<double>(px.size()));
  return rim;
}

std::optional<FineRim> outline_rim(const RoundSeen& seen, const FoundReference& reference) {
  constexpr double kEdgePx = 0.3;
  std::vector<Point2> points;
  for (int k = 0; k < 72; ++k) points.push_back(seen.outline.at(2 * M_PI * k / 72));
  auto rim = rim_of(points, reference.plane, reference.hull_z(), kEdgePx, kRoundU);
  if (rim) rim->seen = seen.support;
  return rim;
}

Hole reported(const FineRim& rim, const FoundReference& reference) {
  Hole disc = described(rim, reference);
  disc.rim = "disc";
  const double edge =
      disc.diameter_mm * std::hypot(kTwoEdgesU, disc_edge_doubt(rim.fit.radius / rim.mm_per_px));
  metrology::Budget budget;
  for (const model::BudgetTerm& term : disc.budget) budget.add(term.term, term.u);
  budget.add("edge of the measured disc", edge);
  disc.u95_mm = budget.expanded().u95;
  disc.budget = budget.terms();
  return disc;
}

// ---- the plane
// -----------------------------------------------------------------------------------------------

Plane::Share share_of(const char* term, const Plane::Vector& direction) {
  return {term, direction * direction.transpose()};
}

// The light on one side of a coin, its own side and its shadow make it look tilted by ten degrees. Unless it
// is tilted beyond doubt the camera is taken to look squarely at what the discs lie on, to within a few
// degrees.
FoundReference square_on(const FoundReference& reference, const CameraPrior& prior) {
  FoundReference out = reference;
  out.other_plane.reset();
  Plane& plane = out.plane;
  plane.rotation.setIdentity();
  plane.rotation(1, 1) = plane.rotation(2, 2) = -1;
  plane.shares.clear();
  for (const int axis : {Plane::TurnX, Plane::TurnY})
    plane.shares.push_back(share_of("tilt of the camera", kSquareOnU * Plane::Vector::Unit(axis)));
  plane.shares.push_back(share_of(prior.lens_term.c_str(), prior.u_k1 * Plane::Vector::Unit(Plane::K1)));
  // A longer lens from further away gives the same picture of the reference.
  Plane::Vector focal = prior.u_log_focal * Plane::Vector::Unit(Plane::LogFocal);
  focal.segment<3>(Plane::X) = prior.u_log_focal * plane.origin;
  plane.shares.push_back(share_of("focal length", focal));
  return out;
}

struct Levelled {
  FoundReference reference;
  double factor = 1;  // of every diameter
};

// The reference is seen as the others are, with the same light on its edge: what it is read too large or
// small by they are too.
Levelled levelled(const Scene& scene) {
  Levelled out{level_with_faces(scene.reference)};
  if (scene.reference.kind != "disc") return out;
  const Point2 at = scene.reference.plane.px_from_mm(Point3::Zero());
  const SizesPx sizes = sizes_at(scene.reference, pixel(at));
  const auto seen = round_thing_at(scene.pixels, at, sizes.smallest, sizes.largest);
  // Its outline was drawn at its stated size, in its own plane.
  const auto stated = scene.reference.plane.mm_from_px(point(scene.reference.outline.front()));
  if (!seen || !stated || seen->outline.minor < kClearlyTilted * seen->outline.major) return out;
  out.reference = square_on(out.reference, camera_prior(scene.pixels.info));
  const auto rim = outline_rim(*seen, out.reference);
  if (rim) out.factor = stated->norm() / rim->fit.radius;
  return out;
}

void enlarge(Hole& disc, double factor) {
  for (double* length : {&disc.diameter_mm, &disc.major_mm, &disc.minor_mm, &disc.u95_mm}) *length *= factor;
  for (model::BudgetTerm& term : disc.budget) term.u *= factor;
}

}  // namespace

Expected<std::vector<Hole>> measure_discs(const Scene& scene, FoundReference& held) {
  const auto seen = scene.request.at.empty() ? made_out(scene) : asked_for(scene);
  const auto [reference, factor] = levelled(scene);
  std::vector<FineRim> rims;
  for (const RoundSeen& one : seen) {
    if (auto rim = outline_rim(one, reference)) rims.push_back(*std::move(rim));
  }
  if (rims.empty()) {
    return refuse(
        "nothing-found",
        "No coin or washer was made out there. Click on the middle of each, all of it being in the photo.");
  }
  std::vector<Hole> discs;
  for (const FineRim& rim : rims) {
    Hole disc = reported(rim, reference);
    enlarge(disc, factor);
    if (disc.u95_mm <= kLargestRelativeU95 * disc.diameter_mm) discs.push_back(std::move(disc));
  }
  if (discs.empty()) {
    return refuse(
        "reference-too-small",
        "The reference is too small in this photo for the distance to what is measured. Move closer, or "
        "lay the two nearer to each other.");
  }
  std::sort(discs.begin(), discs.end(),
            [](const Hole& a, const Hole& b) { return a.diameter_mm > b.diameter_mm; });
  held.plane = reference.plane;
  held.other_plane = reference.other_plane;
  held.log_odds = reference.log_odds;
  return discs;
}

}  // namespace spile::vision
