#include "vision/fitting.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "vision/fitting_edges.hpp"
#include "vision/head_fit.hpp"
#include "vision/hexagon.hpp"

namespace spile::vision {
namespace {

constexpr double kEdgeDefinition = 0.05;  // mm on a diameter: rounding, sealant, shadow at the foot
constexpr double kLipDefinition = 0.15;   // mm on a diameter: where a rounded bore begins
constexpr double kFlatOdds = 0.5;         // against a mushroom head, before it is looked at
constexpr std::size_t kFewestEdges = 60;

std::vector<PixelPoint> outline_of(const Plane& plane, const Point2& centre, double radius, double z) {
  std::vector<PixelPoint> out;
  for (int k = 0; k < 120; ++k) {
    const double a = 2 * M_PI * k / 120;
    out.push_back(
        pixel(plane.px_from_mm({centre.x() + radius * std::cos(a), centre.y() + radius * std::sin(a), z})));
  }
  return out;
}

struct Solution {
  HeadFit fit;
  LeastSquaresResult solved;
  double weight = 1;  // how likely its kind is
};

// The kinds a head may be of, the likelier first.
using Solutions = std::vector<Solution>;

std::vector<LengthTerm> terms_for(const Scene& scene, const Solutions& kinds, Head::Unknown radius,
                                  Head::Unknown height, double definition) {
  const auto& [fit, solved, weight] = kinds.front();
  auto terms = reference_terms(
      scene.reference, [&](const Plane& plane, double z) { return 2 * fit.moved(solved, plane, z, radius); });
  // The height's prior and the rim's scatter both come through the fit: its part is told apart by
  // correlation.
  const double all = 2 * std::sqrt(solved.covariance(radius, radius));
  const double through_height =
      2 * std::abs(solved.covariance(radius, height)) / std::sqrt(solved.covariance(height, height));
  terms.push_back({"height over the hull", through_height});
  terms.push_back({"rim", std::sqrt(std::max(0.0, all * all - through_height * through_height))});
  terms.push_back({"edge definition", definition});
  double between = 0;
  for (const Solution& other : kinds)
    between += other.weight * std::pow(2 * (other.solved.x[radius] - solved.x[radius]), 2);
  terms.push_back({"flat or domed", std::sqrt(between)});
  return terms;
}

double u95_of(const std::vector<LengthTerm>& terms) {
  double square = 0;
  for (const LengthTerm& t : terms) square += t.u * t.u;
  return 1.96 * std::sqrt(square);
}

Solution solved_as(HeadKind kind, const Scene& scene, const HeadEdges& edges, const FittingRings& seen) {
  const Plane& plane = scene.reference.plane;
  const double hull_z = scene.reference.hull_z();
  HeadFit fit(kind, edges, seen);
  LeastSquaresResult solved = fit.solve(plane, hull_z, 30);
  for (int round = 0; round < 2; ++round) {
    fit.start_from(solved.x);
    fit.weigh(plane, hull_z, 0.1 * seen.flange.rim.mm_per_px);
    solved = fit.solve(plane, hull_z, 30);
  }
  return {std::move(fit), std::move(solved)};
}

// How well a kind explains the edges, both weighed alike: Laplace's approximation of the evidence.
double log_evidence(Solution& one, const Scene& scene, const HeadFit& weights) {
  HeadFit fit = one.fit;
  fit.weigh_as(weights);
  fit.start_from(one.solved.x);
  const LeastSquaresResult solved = fit.solve(scene.reference.plane, scene.reference.hull_z(), 5);
  return fit.log_prior() - 0.5 * fit.misfit(solved) + 0.5 * std::log(solved.covariance.determinant());
}

// Both rims at full resolution, fitted until their weights have settled, as either kind of head. Nothing when
// too little of the flange shows.
Solutions solutions_of(const Scene& scene, const ColourView& view, const FittingRings& seen) {
  const Plane& plane = scene.reference.plane;
  const double hull_z = scene.reference.hull_z();
  HeadEdges edges;
  edges.flange = flange_edge({view, plane, hull_z + kUsualRimHeight}, seen.flange);
  if (edges.flange.size() < kFewestEdges) return {};
  if (seen.bore) edges.bore = bore_edge({view, plane, hull_z + kUsualBoreHeight}, *seen.bore, Lip::Rounded);
  if (edges.bore.size() < kFewestEdges) edges.bore.clear();
  Solutions out{solved_as(HeadKind::Mushroom, scene, edges, seen)};
  edges.foot = foot_edge({view, plane, hull_z}, seen.flange, kUsualRimHeight);
  out.push_back(solved_as(HeadKind::Flat, scene, edges, seen));
  const HeadFit closer = out[0].fit.rim_u() < out[1].fit.rim_u() ? out[0].fit : out[1].fit;
  const double odds = log_evidence(out[1], scene, closer) - log_evidence(out[0], scene, closer) +
                      std::log(kFlatOdds / (1 - kFlatOdds));
  out[1].weight = 1 / (1 + std::exp(-std::clamp(odds, -50.0, 50.0)));
  out[0].weight = 1 - out[1].weight;
  if (out[1].weight < out[0].weight) return out;
  // Judged by the same edges as a dome; as a plate its bore has no lip.
  if (seen.bore) edges.bore = bore_edge({view, plane, hull_z + kUsualBoreHeight}, *seen.bore, Lip::Sharp);
  if (edges.bore.size() < kFewestEdges) edges.bore.clear();
  const double weight = out[1].weight;
  out[1] = solved_as(HeadKind::Flat, scene, edges, seen);
  out[1].weight = weight;
  std::swap(out[0], out[1]);
  return out;
}

FittingSeen described(const HexagonSeen& seen) {
  FittingSeen out;
  out.hexagon = seen.hexagon;
  out.budget = seen.budget;
  return out;
}

FittingSeen described(const Scene& scene, const Solutions& kinds) {
  const auto& [fit, solved, weight] = kinds.front();
  const Eigen::VectorXd& x = solved.x;
  const Plane& plane = scene.reference.plane;
  const double hull_z = scene.reference.hull_z();
  FittingSeen out;
  out.flange_mm = 2 * x[Head::Radius];
  const auto terms = terms_for(scene, kinds, Head::Radius, Head::RimHeight, kEdgeDefinition);
  out.flange_u95_mm = u95_of(terms);
  for (const LengthTerm& t : terms) out.budget.push_back({t.term, t.u});
  std::sort(out.budget.begin(), out.budget.end(), [](const auto& a, const auto& b) { return a.u > b.u; });
  const Point2 centre(x[Head::X], x[Head::Y]);
  out.flange_outline = outline_of(plane, centre, x[Head::Radius], hull_z + x[Head::RimHeight]);
  if (!fit.has_bore()) return out;
  out.bore_mm = 2 * x[Head::BoreRadius];
  out.bore_u95_mm = u95_of(terms_for(scene, kinds, Head::BoreRadius, Head::BoreHeight, kLipDefinition));
  out.bore_outline = outline_of(plane, centre + Point2(x[Head::OffX], x[Head::OffY]), x[Head::BoreRadius],
                                hull_z + x[Head::BoreHeight]);
  return out;
}

// ---- is it one? -----------------------------------------------------------------------------------------

constexpr double kLowestBore = -1.5;  // mm over the hull; the far rim of a hole lies below it
constexpr double kDarkHull = 0.08;    // light; what is dark too cannot be told from it
constexpr double kSameShade = 0.15, kOtherShade = 0.25;  // of logarithms of light

using Shade = std::array<double, 3>;

// The usual colour round a circle over the hull, as logarithms.
Shade shade_round(const ColourView& view, const Plane& plane, const Point2& centre, double radius, double z) {
  std::array<std::vector<double>, 3> all;
  for (int k = 0; k < 60; ++k) {
    const double a = 2 * M_PI * k / 60;
    const Point2 px =
        plane.px_from_mm({centre.x() + radius * std::cos(a), centre.y() + radius * std::sin(a), z});
    if (!view.holds(px.x(), px.y())) continue;
    const auto [y, cb, cr] = view.ycc_at(px.x(), px.y());
    const std::array<float, 3> rgb{y + 1.402F * cr, y - 0.344F * cb - 0.714F * cr, y + 1.772F * cb};
    for (std::size_t c = 0; c < 3; ++c)
      all[c].push_back(
          std::log(light_from_coded(std::clamp(static_cast<double>(rgb[c]), 0.0, 255.0)) + 0.01));
  }
  Shade out{};
  for (std::size_t c = 0; c < 3; ++c) {
    if (all[c].empty()) continue;
    const auto half = all[c].begin() + static_cast<long>(all[c].size() / 2);
    std::nth_element(all[c].begin(), half, all[c].end());
    out[c] = *half;
  }
  return out;
}

double apart(const Shade& a, const Shade& b) {
  return std::sqrt((std::pow(a[0] - b[0], 2) + std::pow(a[1] - b[1], 2) + std::pow(a[2] - b[2], 2)) / 3);
}

// A ring of old bedding round a hole: bare hull within it or inside its inner edge.
bool bare_between(const Scene& scene, const ColourView& view, const Eigen::VectorXd& head) {
  const Plane& plane = scene.reference.plane;
  const double z = scene.reference.hull_z(), flange = head[Head::Radius], bore = head[Head::BoreRadius];
  const Point2 centre(head[Head::X], head[Head::Y]);
  const Shade hull = shade_round(view, plane, centre, 1.4 * flange, z);
  const auto unlike_hull = [&](double radius) {
    return apart(shade_round(view, plane, centre, radius, z), hull);
  };
  const double ring =
      std::max({unlike_hull(0.5 * (bore + flange)), unlike_hull(0.94 * flange), unlike_hull(1.06 * flange)});
  const bool dark = hull[1] < std::log(kDarkHull + 0.01);
  const bool bare = unlike_hull(1.08 * bore) < kSameShade || (!dark && unlike_hull(0.88 * bore) < kSameShade);
  return bare && ring > kOtherShade;
}

}  // namespace

Expected<FittingSeen> measure_fitting(const Scene& scene) {
  const ColourView view(scene.pixels);
  const auto circles = circles_everywhere(scene);
  const auto hexagon = find_hexagon(scene, view, circles);
  if (hexagon) return described(*hexagon);
  const auto seen = find_fitting(scene, view, circles);
  if (scene.stopped()) return refuse("cancelled", "Stopped before it was finished.");
  const Solutions kinds = seen ? solutions_of(scene, view, *seen) : Solutions();
  if (kinds.empty()) {
    return refuse("nothing-found",
                  "No flange of a through-hull fitting and no nut was found in this photo. Take it square-on "
                  "with the whole "
                  "of it in view and wipe off loose sealant.");
  }
  return described(scene, kinds);
}

std::optional<FittingSeen> fitting_about(const Scene& scene, const std::vector<Hole>& round_things) {
  const ColourView view(scene.pixels);
  const auto seen = find_fitting(scene, view, circles_about(scene, round_things));
  const Solutions kinds = seen ? solutions_of(scene, view, *seen) : Solutions();
  if (kinds.empty() || !kinds.front().fit.has_bore()) return std::nullopt;
  if (kinds.front().solved.x[Head::BoreHeight] < kLowestBore) return std::nullopt;
  if (bare_between(scene, view, kinds.front().solved.x)) return std::nullopt;
  return described(scene, kinds);
}

}  // namespace spile::vision
