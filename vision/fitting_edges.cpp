#include "vision/fitting_edges.hpp"

#include <algorithm>
#include <cmath>

#include "vision/least_squares.hpp"
#include "vision/ray_edges.hpp"

namespace spile::vision {
namespace {

constexpr int kDirections = 240;

}  // namespace

std::vector<Point2> flange_edge(const RimPlace& place, const Ring& ring) {
  const double reach = std::clamp(0.045 * ring.circle.radius / ring.rim.mm_per_px, 8.0, 30.0);
  const auto rays = rays_round(place, ring.circle, kDirections, reach);
  const auto curve = truest_curve(place, rays, ring.circle, std::max(0.25, 1.2 * ring.rim.mm_per_px), 0);
  return curve ? curve->px : std::vector<Point2>{};
}

namespace {

constexpr double kThinnestPlate = 1, kThickestPlate = 8;  // mm
constexpr double kClearOfFacePx = 2.5;                    // the foot is looked for this far beyond the face
constexpr int kFewestFoot = 16;                           // rays that should meet it
constexpr double kLeastFoot = 0.85;                       // of those that do
constexpr double kOnFootPx = 1.2;

// How far beyond the face's outline the foot shows along each ray, mm; for a plate of that height.
std::vector<double> foot_beyond(const std::vector<Ray>& rays, const Circle& face, const Point3& eye,
                                double hull_z, double height) {
  const double shrink = (eye.z() - hull_z - height) / (eye.z() - hull_z);
  const Point2 below = eye.head<2>();
  const Circle foot{below + shrink * (face.centre - below), shrink * face.radius};
  std::vector<double> out;
  for (const Ray& ray : rays) {
    // Where the ray from the face's centre leaves the foot's circle.
    const Point2 way(std::cos(ray.angle), std::sin(ray.angle)), from = face.centre - foot.centre;
    const double along = from.dot(way);
    const double square = along * along - from.squaredNorm() + foot.radius * foot.radius;
    out.push_back(square > 0 ? std::sqrt(square) - along - face.radius : -1);
  }
  return out;
}

}  // namespace

std::vector<Point2> foot_edge(const RimPlace& hull, const Ring& ring, double rim_height) {
  const Point3 eye = hull.plane.camera_mm();
  const double grow = (eye.z() - hull.z) / (eye.z() - hull.z - rim_height);
  const Point2 below = eye.head<2>();
  const Circle face{below + grow * (ring.circle.centre - below), grow * ring.circle.radius};
  const double lateral = (face.centre - below).norm() + face.radius;
  const double px = ring.rim.mm_per_px;
  const double reach = kThickestPlate * lateral / (eye.z() - hull.z) / px + 3;
  const auto rays = rays_round(hull, face, kDirections, reach);
  std::vector<Point2> best;
  double most = 0;
  for (double height = kThinnestPlate; height < kThickestPlate; height += 0.1) {
    const auto beyond = foot_beyond(rays, face, eye, hull.z, height);
    std::vector<Point2> met;
    int expected = 0;
    for (std::size_t k = 0; k < rays.size(); ++k) {
      const double at = beyond[k] / rays[k].foot.mm_per_px;
      if (at < kClearOfFacePx || rays[k].colours.light.empty()) continue;
      ++expected;
      for (const EdgePeak& p : rays[k].peaks) {
        if (std::abs(p.offset - at) > kOnFootPx) continue;
        met.push_back(rays[k].foot.px + p.offset * rays[k].foot.normal);
        break;
      }
    }
    const double now = expected < kFewestFoot ? 0 : static_cast<double>(met.size()) / expected;
    if (now < kLeastFoot) continue;
    if (now <= most) continue;
    most = now;
    best = std::move(met);
  }
  return best;
}

namespace {

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

}  // namespace

std::vector<Point2> bore_edge(const RimPlace& place, const Ring& ring, Lip lip) {
  std::vector<Point2> out;
  const double blur = sharpest_blur(ring);
  for (const Ray& ray : rays_round(place, ring.circle, kDirections, 12)) {
    if (ray.colours.light.empty()) continue;
    const Profile profile = best_mixture(ray.colours, 0, 5, 1.5);
    std::optional<EdgePeak> main;
    for (const EdgePeak& p : edge_peaks(profile, 10))
      if (std::abs(p.offset) < 4 && (!main || std::abs(p.contrast) > std::abs(main->contrast))) main = p;
    if (!main) continue;
    if (lip == Lip::Sharp) {
      if (const auto edge = fit_edge(profile, main->offset, 3, 6))
        out.push_back(ray.foot.px + edge->offset * ray.foot.normal);
      continue;
    }
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

}  // namespace spile::vision
