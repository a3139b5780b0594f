#include "vision/fitting.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "vision/circle_search.hpp"
#include "vision/least_squares.hpp"
#include "vision/ray_edges.hpp"

namespace spile::vision {
namespace {

// Mushroom heads: the outer edge is a short cylinder standing on the hull, the bore's edge lies at the top of
// the dome. Heights over the hull in mm, common practice; both are measured where the parallax shows them.
constexpr double kRimHeight = 1.6, kRimHeightSpread = 0.5;
constexpr double kBoreHeight = 5.4, kBoreHeightSpread = 1.3;
constexpr double kOffCentre = 0.15;  // mm, bore against flange
constexpr double kFootShadow =
    0.15;  // mm, how far sealant or shadow moves the line where the rim meets the hull
constexpr double kEdgeDefinition = 0.05;        // mm on a diameter: rounding, sealant, shadow at the foot
constexpr double kLipDefinition = 0.15;         // mm on a diameter: where a rounded bore begins
constexpr double kSmallest = 9, kLargest = 90;  // mm, radius of a flange
constexpr double kRoundEnough = 0.35;  // mm, scatter of a turned or moulded rim; a bead of sealant is rougher
constexpr double kCorrelated = 4;      // neighbouring rim samples err together

struct Ring {
  Circle circle;
  FineRim rim;
};

// ---- looking for it -------------------------------------------------------------------------------------

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

struct Seen {
  Ring flange;
  std::optional<Ring> bore;
};

std::vector<Circle> circles_everywhere(const Scene& scene) {
  const auto& reference = scene.reference;
  std::vector<Circle> out;
  for (const auto& candidate :
       search_circles(scene.pixels, reference.plane, reference.hull_z() + kRimHeight, reference.covered, 30))
    out.push_back({candidate.centre_mm, candidate.radius_mm});
  return out;
}

// Flanges a round thing may belong to: it is the flange itself, or its bore.
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

std::optional<Seen> find_fitting(const Scene& scene, const ColourView& view,
                                 const std::vector<Circle>& candidates) {
  const auto& reference = scene.reference;
  const RimPlace low{view, reference.plane, reference.hull_z() + kRimHeight};
  const RimPlace high{view, reference.plane, reference.hull_z() + kBoreHeight};
  std::optional<Seen> best;
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
      best = Seen{std::move(*ring), std::move(bore)};
    }
  }
  return best;
}

// ---- its edges, at full resolution -----------------------------------------------------------------------

constexpr int kDirections = 240;

std::vector<Point2> flange_edge(const RimPlace& place, const Ring& ring) {
  const double reach = std::clamp(0.045 * ring.circle.radius / ring.rim.mm_per_px, 8.0, 30.0);
  const auto rays = rays_round(place, ring.circle, kDirections, reach);
  const auto curve = truest_curve(place, rays, ring.circle, std::max(0.25, 1.2 * ring.rim.mm_per_px), 0);
  return curve ? curve->px : std::vector<Point2>{};
}

// Step of a ramp that starts at `start` and is `width` long, blurred.
double blurred_ramp(double t, double start, double width, double blur) {
  const auto integral = [blur](double x) {  // of the blurred step
    const double z = x / blur;
    return x * 0.5 * std::erfc(-z * M_SQRT1_2) + blur * 0.3989422804014327 * std::exp(-0.5 * z * z);
  };
  return (integral(t - start) - integral(t - start - width)) / width;
}

// Where the bore's wall ends along one ray. Its edge is rounded: on the far side the wall's shade turns
// gradually into the head's, and the bore's edge is where that begins, not where it is steepest.
std::optional<double> lip_start(const Profile& profile, double steepest, double blur) {
  std::vector<std::pair<double, double>> samples;
  double inside = 0, outside = 0, n_in = 0, n_out = 0;
  for (std::size_t i = 0; i < profile.light.size(); ++i) {
    const double t = profile.t(i) - steepest, light = static_cast<double>(profile.light[i]);
    if (std::abs(t) > 6) continue;
    samples.emplace_back(t, light);
    if (t < -3.5) {
      inside += light;
      n_in += 1;
    }
    if (t > 3.5) {
      outside += light;
      n_out += 1;
    }
  }
  if (n_in < 3 || n_out < 3) return std::nullopt;
  const auto residuals = [&](const Eigen::VectorXd& x) {
    Eigen::VectorXd r(static_cast<Eigen::Index>(samples.size()) + 2);
    const double width = 0.1 + x[1] * x[1];
    for (std::size_t i = 0; i < samples.size(); ++i) {
      const auto& [t, light] = samples[i];
      const double wall = x[2] + x[4] * std::min(0.0, t - x[0]);
      const double model = wall + (x[3] - x[2]) * blurred_ramp(t, x[0], width, blur);
      r[static_cast<Eigen::Index>(i)] = (model - light) * coded_slope(std::max(0.004, light)) / 3;
    }
    r.tail(2) << (width - 2) / 3, x[4] * coded_slope(std::max(0.004, x[2])) / 4;
    return r;
  };
  Eigen::VectorXd start(5), step(5);
  start << -1, 1.2, inside / n_in, outside / n_out, 0;
  step << 1e-3, 1e-3, 1e-4, 1e-4, 1e-4;
  const auto solved = least_squares(residuals, start, step, 12);
  if (std::abs(solved.x[0]) > 5) return std::nullopt;
  return steepest + solved.x[0];
}

// The lens's own blur: the sharper part of the rim, where no rounding shows.
double sharpest_blur(const Ring& ring) {
  std::vector<double> blur;
  for (const RimSample& s : ring.rim.samples)
    if (s.inlier) blur.push_back(s.blur_px);
  if (blur.empty()) return 1;
  const auto fifth = blur.begin() + static_cast<long>(blur.size() / 5);
  std::nth_element(blur.begin(), fifth, blur.end());
  return std::clamp(*fifth, 0.5, 3.0);
}

std::vector<Point2> bore_edge(const RimPlace& place, const Ring& ring) {
  std::vector<Point2> out;
  const double blur = sharpest_blur(ring);
  for (const Ray& ray : rays_round(place, ring.circle, kDirections, 12)) {
    if (ray.colours.light.empty()) continue;
    const Profile profile = best_mixture(ray.colours, 0, 5, 1.5);
    std::optional<EdgePeak> main;
    for (const EdgePeak& p : edge_peaks(profile, 10))
      if (std::abs(p.offset) < 4 && (!main || std::abs(p.contrast) > std::abs(main->contrast))) main = p;
    if (!main) continue;
    // A lip that turns away from the light is first darker than the wall, then bright: the edge is where it
    // darkens.
    std::optional<double> at;
    for (const EdgePeak& p : edge_peaks(profile, 10))
      if (p.offset < main->offset - 1 && p.offset > main->offset - 4.5 && p.contrast * main->contrast < 0)
        if (const auto dip = fit_edge(profile, p.offset, 2, 5)) at = dip->offset;
    if (!at) at = lip_start(profile, main->offset, blur);
    if (at) out.push_back(ray.foot.px + *at * ray.foot.normal);
  }
  return out;
}

// ---- measuring it ---------------------------------------------------------------------------------------

struct Head {
  enum Unknown { X, Y, Radius, RimHeight, BoreRadius, BoreHeight, OffX, OffY, Foot, kUnknowns };
};

// Both rims at once: they share an axis, so that the parallax between them tells how high the bore's edge is,
// and the flange's near and far side how high its rim.
class HeadFit {
 public:
  HeadFit(std::vector<Point2> flange, std::vector<Point2> bore, const Seen& seen)
      : flange_(std::move(flange)), bore_(std::move(bore)) {
    start_ = Eigen::VectorXd::Zero(Head::kUnknowns);
    start_ << seen.flange.circle.centre.x(), seen.flange.circle.centre.y(), seen.flange.circle.radius,
        kRimHeight, seen.bore ? seen.bore->circle.radius : 10, kBoreHeight, 0, 0, 0;
  }

  [[nodiscard]] LeastSquaresResult solve(const Plane& plane, double hull_z, int iterations) const {
    const Lit lit = lit_by(plane, hull_z);
    const Eigen::VectorXd step = Eigen::VectorXd::Constant(Head::kUnknowns, 1e-4);
    return least_squares([&](const Eigen::VectorXd& x) { return residuals(lit, x); }, start_, step,
                         iterations);
  }
  void start_from(const Eigen::VectorXd& x) { start_ = x; }

  // Where a small change of the plane or its height would move the solution, to first order.
  [[nodiscard]] double moved(const LeastSquaresResult& solved, const Plane& plane, double hull_z,
                             Head::Unknown which) const {
    const Eigen::VectorXd r = residuals(lit_by(plane, hull_z), solved.x);
    return solved.x[which] - (solved.covariance * (solved.jacobian.transpose() * r))[which];
  }

  // The scatter each rim shows about the fit, so that the next fit weighs them by it.
  void weigh(const Plane& plane, double hull_z, double least) {
    const Lit lit = lit_by(plane, hull_z);
    rim_u_ = bore_u_ = 1;
    const Eigen::VectorXd r = residuals(lit, start_);
    const auto n = static_cast<Eigen::Index>(flange_.size()), m = static_cast<Eigen::Index>(bore_.size());
    rim_u_ = std::sqrt(kCorrelated) * std::max(least, spread(r.head(n)));
    bore_u_ = std::sqrt(kCorrelated) * std::max(least, m > 0 ? spread(r.segment(n, m)) : 1);
  }
  [[nodiscard]] bool has_bore() const { return !bore_.empty(); }

 private:
  struct Lit {
    Point3 eye;
    double hull_z;
    std::vector<Point2> flange, bore;  // mm, as if they lay on the hull
  };

  [[nodiscard]] Lit lit_by(const Plane& plane, double hull_z) const {
    return {plane.camera_mm(), hull_z, in_plane(plane, hull_z, flange_), in_plane(plane, hull_z, bore_)};
  }

  static double spread(const Eigen::VectorXd& misses) {
    std::vector<double> size;
    for (const double miss : misses) size.push_back(std::abs(miss));
    const auto half = size.begin() + static_cast<long>(size.size() / 2);
    std::nth_element(size.begin(), half, size.end());
    return 1.4826 * *half;
  }

  static std::vector<Point2> in_plane(const Plane& plane, double z, const std::vector<Point2>& px) {
    std::vector<Point2> out;
    for (const Point2& p : px) {
      const auto mm = plane.mm_from_px(p, z);
      out.push_back(mm ? *mm : Point2(1e6, 1e6));
    }
    return out;
  }

  // A circle at a height, as its shadow from the camera falls on the hull.
  static Circle shadow(const Lit& lit, const Point2& centre, double radius, double height) {
    const double grow = (lit.eye.z() - lit.hull_z) / (lit.eye.z() - lit.hull_z - height);
    const Point2 foot = lit.eye.head<2>();
    return {foot + (centre - foot) * grow, radius * grow};
  }

  // Strays count little: beyond two and a half scatters the residual grows with the root only.
  static double damped(double z) {
    const double a = std::abs(z);
    return a < 1.25 ? z : std::copysign(std::sqrt(2.5 * a - 1.5625), z);
  }

  [[nodiscard]] Eigen::VectorXd residuals(const Lit& lit, const Eigen::VectorXd& x) const {
    const auto n = static_cast<Eigen::Index>(lit.flange.size()),
               m = static_cast<Eigen::Index>(lit.bore.size());
    Eigen::VectorXd r(n + m + 6);
    const Point2 centre(x[Head::X], x[Head::Y]);
    const Circle base = shadow(lit, centre, x[Head::Radius] + x[Head::Foot], 0);
    const Circle top = shadow(lit, centre, x[Head::Radius], x[Head::RimHeight]);
    for (Eigen::Index i = 0; i < n; ++i) {
      // What is seen is the outline of both ends of the short cylinder.
      const Point2& p = lit.flange[static_cast<std::size_t>(i)];
      const double out =
          std::min((p - base.centre).norm() - base.radius, (p - top.centre).norm() - top.radius);
      r[i] = damped(out / rim_u_);
    }
    const Circle bore =
        shadow(lit, centre + Point2(x[Head::OffX], x[Head::OffY]), x[Head::BoreRadius], x[Head::BoreHeight]);
    for (Eigen::Index i = 0; i < m; ++i) {
      const Point2& p = lit.bore[static_cast<std::size_t>(i)];
      r[n + i] = damped(((p - bore.centre).norm() - bore.radius) / bore_u_);
    }
    r.tail(6) << (x[Head::RimHeight] - kRimHeight) / kRimHeightSpread,
        (x[Head::BoreHeight] - kBoreHeight) / kBoreHeightSpread, x[Head::OffX] / kOffCentre,
        x[Head::OffY] / kOffCentre, x[Head::Foot] / kFootShadow, m > 0 ? 0 : (x[Head::BoreRadius] - 10) / 100;
    return r;
  }

  std::vector<Point2> flange_, bore_;
  Eigen::VectorXd start_;
  double rim_u_ = 0.2, bore_u_ = 0.2;
};

std::vector<PixelPoint> outline_of(const Plane& plane, const Point2& centre, double radius, double z) {
  std::vector<PixelPoint> out;
  for (int k = 0; k < 120; ++k) {
    const double a = 2 * M_PI * k / 120;
    out.push_back(
        pixel(plane.px_from_mm({centre.x() + radius * std::cos(a), centre.y() + radius * std::sin(a), z})));
  }
  return out;
}

std::vector<LengthTerm> terms_for(const Scene& scene, const HeadFit& fit, const LeastSquaresResult& solved,
                                  Head::Unknown radius, Head::Unknown height, double definition) {
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
  return terms;
}

double u95_of(const std::vector<LengthTerm>& terms) {
  double square = 0;
  for (const LengthTerm& t : terms) square += t.u * t.u;
  return 1.96 * std::sqrt(square);
}

struct Solution {
  HeadFit fit;
  LeastSquaresResult solved;
};

// Both rims at full resolution, fitted until their weights have settled. Nothing when too little of the
// flange shows.
std::optional<Solution> solution_of(const Scene& scene, const ColourView& view, const Seen& seen) {
  const Plane& plane = scene.reference.plane;
  const double hull_z = scene.reference.hull_z();
  auto flange = flange_edge({view, plane, hull_z + kRimHeight}, seen.flange);
  if (flange.size() < kDirections / 4) return std::nullopt;
  auto bore = seen.bore ? bore_edge({view, plane, hull_z + kBoreHeight}, *seen.bore) : std::vector<Point2>{};
  if (bore.size() < kDirections / 4) bore.clear();
  HeadFit fit(std::move(flange), std::move(bore), seen);
  LeastSquaresResult solved = fit.solve(plane, hull_z, 30);
  for (int round = 0; round < 2; ++round) {
    fit.start_from(solved.x);
    fit.weigh(plane, hull_z, 0.1 * seen.flange.rim.mm_per_px);
    solved = fit.solve(plane, hull_z, 30);
  }
  return Solution{std::move(fit), std::move(solved)};
}

FittingSeen described(const Scene& scene, const Solution& solution) {
  const auto& [fit, solved] = solution;
  const Eigen::VectorXd& x = solved.x;
  const Plane& plane = scene.reference.plane;
  const double hull_z = scene.reference.hull_z();
  FittingSeen out;
  out.flange_mm = 2 * x[Head::Radius];
  const auto terms = terms_for(scene, fit, solved, Head::Radius, Head::RimHeight, kEdgeDefinition);
  out.flange_u95_mm = u95_of(terms);
  for (const LengthTerm& t : terms) out.budget.push_back({t.term, t.u});
  std::sort(out.budget.begin(), out.budget.end(), [](const auto& a, const auto& b) { return a.u > b.u; });
  const Point2 centre(x[Head::X], x[Head::Y]);
  out.flange_outline = outline_of(plane, centre, x[Head::Radius], hull_z + x[Head::RimHeight]);
  if (!fit.has_bore()) return out;
  out.bore_mm = 2 * x[Head::BoreRadius];
  out.bore_u95_mm = u95_of(terms_for(scene, fit, solved, Head::BoreRadius, Head::BoreHeight, kLipDefinition));
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
  const auto seen = find_fitting(scene, view, circles_everywhere(scene));
  if (scene.stopped()) return refuse("cancelled", "Stopped before it was finished.");
  const auto solution = seen ? solution_of(scene, view, *seen) : std::nullopt;
  if (!solution) {
    return refuse(
        "nothing-found",
        "No flange of a through-hull fitting was found in this photo. Take it square-on with the whole "
        "flange in view and wipe off loose sealant.");
  }
  return described(scene, *solution);
}

std::optional<FittingSeen> fitting_about(const Scene& scene, const std::vector<Hole>& round_things) {
  const ColourView view(scene.pixels);
  const auto seen = find_fitting(scene, view, circles_about(scene, round_things));
  const auto solution = seen ? solution_of(scene, view, *seen) : std::nullopt;
  if (!solution || !solution->fit.has_bore()) return std::nullopt;
  if (solution->solved.x[Head::BoreHeight] < kLowestBore) return std::nullopt;
  if (bare_between(scene, view, solution->solved.x)) return std::nullopt;
  return described(scene, *solution);
}

}  // namespace spile::vision
