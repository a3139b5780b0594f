#include "vision/hole.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "metrology/uncertainty.hpp"
#include "vision/circle_search.hpp"
#include "vision/rim_choice.hpp"

namespace spile::vision {
namespace {

constexpr double kSmallestOpeningMm = 8;  // below this it is a fastener's hole, not an opening
constexpr double kRoundnessU = 0.012;  // of the radius: holes drilled by hand are oval by a per cent or two
constexpr double kEdgePx = 0.10;       // tone curve and sharpening move an edge by about this much
constexpr double kLeastSupport = 0.5;
constexpr std::size_t kCandidates = 12;
constexpr double kLargestRelativeU95 = 0.05;

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

void look_at(const RimPlace& place, const Circle& start, std::vector<FineRim>& rims) {
  const auto coarse = coarse_rim(place, start);
  if (!coarse || coarse->support < kLeastSupport || already_known(rims, coarse->circle)) return;
  auto rim = fine_rim(place, coarse->circle, kRoundnessU);
  if (rim && is_rim(*rim)) rims.push_back(std::move(*rim));
}

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
    look_at(place, {candidate.centre_mm, candidate.radius_mm}, rims);
  }
  std::erase_if(rims, [](const FineRim& rim) { return 2 * rim.fit.radius < kSmallestOpeningMm; });
  return near_rims(std::move(rims), reference.plane, reference.hull_z());
}

// The diameter a plane gives to the same pixels: least squares circle on a share of the rim's points.
double diameter_of(const FineRim& rim, const Plane& plane, double z) {
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  Eigen::Vector3d v = Eigen::Vector3d::Zero();
  const std::size_t stride = std::max<std::size_t>(1, rim.samples.size() / 120);
  for (std::size_t i = 0; i < rim.samples.size(); i += stride) {
    if (!rim.samples[i].inlier) continue;
    const auto mm = plane.mm_from_px(rim.samples[i].px, z);
    if (!mm) continue;
    const Point2 p = *mm - rim.fit.centre;
    const Eigen::Vector3d row(2 * p.x(), 2 * p.y(), 1);
    m += row * row.transpose();
    v += p.squaredNorm() * row;
  }
  const Eigen::Vector3d s = m.ldlt().solve(v);
  return 2 * std::sqrt(std::max(0.0, s[2] + s[0] * s[0] + s[1] * s[1]));
}

metrology::Budget budget_of(const FineRim& rim, const FoundReference& reference) {
  metrology::Budget budget;
  const auto diameter = [&](const Plane& plane, double z) { return diameter_of(rim, plane, z); };
  for (const LengthTerm& term : reference_terms(reference, diameter)) budget.add(term.term, term.u);
  budget.add("edge location", 2 * kEdgePx * rim.mm_per_px);
  budget.add("rim roughness and noise", 2 * rim.fit.u_radius);
  return budget;
}

std::vector<PixelPoint> outline_of(const FineRim& rim, const Plane& plane, double z) {
  constexpr int kPoints = 120;
  std::vector<PixelPoint> out;
  for (int k = 0; k < kPoints; ++k) {
    const Point2 mm = rim.fit.at(2 * M_PI * k / kPoints);
    out.push_back(pixel(plane.px_from_mm(Point3(mm.x(), mm.y(), z))));
  }
  return out;
}

Hole described(const FineRim& rim, const FoundReference& reference) {
  const double z = reference.hull_z();
  Hole hole;
  hole.centre_px = pixel(reference.plane.px_from_mm(Point3(rim.fit.centre.x(), rim.fit.centre.y(), z)));
  hole.diameter_mm = 2 * rim.fit.radius;
  hole.major_mm = 2 * (rim.fit.radius + rim.fit.oval());
  hole.minor_mm = 2 * (rim.fit.radius - rim.fit.oval());
  hole.ovality_pct = 100 * (hole.major_mm - hole.minor_mm) / hole.diameter_mm;
  hole.edge_seen = rim.seen;
  const metrology::Budget budget = budget_of(rim, reference);
  hole.u95_mm = budget.expanded().u95;
  hole.budget = budget.terms();
  hole.outline = outline_of(rim, reference.plane, z);
  return hole;
}

tl::unexpected<Refusal> nothing_found() {
  return refuse("nothing-found",
                "No hole was found in this photo. If there is one, click on it, or take the photo again with "
                "the whole rim "
                "in view and in even light.");
}

tl::unexpected<Refusal> too_uncertain(const FoundReference& reference) {
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

}  // namespace

Expected<std::vector<Hole>> measure_holes(const Scene& scene) {
  const ColourView view(scene.pixels);
  const RimPlace place{view, scene.reference.plane, scene.reference.hull_z()};
  const auto rims = found_rims(scene, place);
  if (rims.empty()) return nothing_found();
  std::vector<Hole> holes;
  for (const FineRim& rim : rims) holes.push_back(described(rim, scene.reference));
  std::erase_if(holes, [](const Hole& hole) { return hole.u95_mm > kLargestRelativeU95 * hole.diameter_mm; });
  if (holes.empty()) return too_uncertain(scene.reference);
  return holes;
}

}  // namespace spile::vision
