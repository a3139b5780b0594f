#include "vision/tilts.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numeric>

namespace spile::vision {
namespace {

constexpr int kRings = 21, kDirections = 48;
constexpr double kSteepest = 42 * M_PI / 180;
constexpr std::size_t kPointsOnRim = 36;
// What roughness and the lens may do to a rim all along, in shares of its radius; a tilt is told by its
// aspect.
constexpr double kRimShare = 0.003, kRimPx = 0.5;
constexpr double kWallBelief = 6;  // most that the side on which the wall shows can say, as a logarithm
using Vector5 = Eigen::Matrix<double, 5, 1>;
using Matrix5 = Eigen::Matrix<double, 5, 5>;

// Direction of a pixel's ray in the camera frame, z = 1.
Point3 ray_of(const Plane& camera, const Point2& px) {
  Plane facing;
  facing.focal_px = camera.focal_px;
  facing.k1 = camera.k1;
  facing.k2 = camera.k2;
  facing.centre = camera.centre;
  facing.rotation = Eigen::Vector3d(1, -1, -1).asDiagonal();
  const auto mm = facing.mm_from_px(px);
  return mm ? Point3(mm->x(), -mm->y(), 1) : Point3(0, 0, 1);
}

Plane plane_with(const Plane& start, const Point3& normal, const Point3& ray_a, const Point3& ray_b,
                 double length_mm) {
  // The normal looks towards the camera: against the rays.
  const Point3 a = ray_a / -normal.dot(ray_a), b = ray_b / -normal.dot(ray_b);
  Plane out = start;
  out.rotation.col(0) = (b - a).normalized();
  out.rotation.col(2) = normal;
  out.rotation.col(1) = normal.cross(Point3(out.rotation.col(0)));
  out.origin = 0.5 * length_mm / (b - a).norm() * (a + b);
  return out;
}

struct SeenPoint {
  Point2 px = Point2::Zero();
  double u_mm = 1;
};

std::vector<SeenPoint> some_of(const FineRim& rim) {
  std::vector<SeenPoint> on, out;
  for (const RimSample& s : rim.samples) {
    const double floor =
        rim.placed ? s.u_mm
                   : std::max({rim.fit.bin_scatter, kRimPx * rim.mm_per_px, kRimShare * rim.fit.radius});
    if (s.inlier) on.push_back({s.px, floor});
  }
  const std::size_t n = std::min(kPointsOnRim, on.size());
  for (std::size_t k = 0; k < n; ++k) out.push_back(on[k * on.size() / n]);
  return out;
}

struct Roundness {
  double misfit = 0;  // chi square of the points about the roundest curve
  double radius = 0;  // mm
};

// Circle with a second harmonic, which is held to `u_roundness`.
Roundness roundness_in(const Plane& plane, double z, const std::vector<SeenPoint>& seen, const Circle& start,
                       double u_roundness) {
  Point2 centre = start.centre;
  double radius = start.radius;
  Vector5 shape = Vector5::Zero();
  Roundness out;
  for (int round = 0; round < 4; ++round) {
    Matrix5 m = Matrix5::Zero();
    Vector5 v = Vector5::Zero();
    double square = 0;
    for (const SeenPoint& s : seen) {
      const auto mm = plane.mm_from_px(s.px, z);
      if (!mm) return {1e9, radius};
      const Point2 d = *mm - centre;
      const double angle = std::atan2(d.y(), d.x());
      Vector5 row;
      row << std::cos(angle), std::sin(angle), 1, std::cos(2 * angle), std::sin(2 * angle);
      const double away = d.norm() - radius;
      m += row * row.transpose() / (s.u_mm * s.u_mm);
      v += row * away / (s.u_mm * s.u_mm);
      square += away * away / (s.u_mm * s.u_mm);
    }
    m.diagonal().tail(2).array() += std::pow(u_roundness * radius, -2);
    shape = m.ldlt().solve(v);
    out.misfit = square - shape.dot(v);
    centre += shape.head<2>();
    radius += shape[2];
  }
  out.radius = radius;
  return out;
}

Circle circle_in(const Plane& plane, double z, const std::vector<SeenPoint>& seen) {
  Point2 middle = Point2::Zero();
  std::vector<Point2> all;
  for (const SeenPoint& s : seen) {
    if (const auto mm = plane.mm_from_px(s.px, z)) all.push_back(*mm);
  }
  for (const Point2& p : all) middle += p / static_cast<double>(all.size());
  Eigen::Matrix3d m = Eigen::Matrix3d::Identity() * 1e-9;
  Eigen::Vector3d v = Eigen::Vector3d::Zero();
  for (const Point2& p : all) {
    const Point2 d = p - middle;
    const Eigen::Vector3d row(2 * d.x(), 2 * d.y(), 1);
    m += row * row.transpose();
    v += d.squaredNorm() * row;
  }
  const Eigen::Vector3d s = m.ldlt().solve(v);
  return {middle + s.head<2>(), std::sqrt(std::max(1e-9, s[2] + s.head<2>().squaredNorm()))};
}

// How little a plane agrees with the side on which the bore's wall shows: 0 where the camera looks straight
// at it.
double against_wall(const Plane& plane, double z, const FineRim& rim, const Circle& circle) {
  const double clear = rim.wall.norm();
  if (clear < 0.1) return 0;
  const auto px = [&](const Point2& mm) { return plane.px_from_mm(Point3(mm.x(), mm.y(), z)); };
  const Point2 away = circle.centre - plane.camera_mm().head<2>();
  const double offset = away.norm() / circle.radius;
  const Point2 step = 0.01 * circle.radius * away.normalized();
  const Point2 seen = (px(circle.centre + step) - px(circle.centre - step)).normalized();
  const double along = seen.dot(rim.wall / clear) * std::min(1.0, 4 * offset);
  return kWallBelief * std::min(1.0, clear / 0.3) * (1 - along);
}

void normalise(std::vector<WeighedPlane>& planes) {
  double sum = 0;
  for (const WeighedPlane& p : planes) sum += p.weight;
  for (WeighedPlane& p : planes) p.weight /= sum > 0 ? sum : 1;
}

}  // namespace

std::vector<WeighedPlane> planes_through(const Point2& a, const Point2& b, double length_mm,
                                         const Plane& start, double u_tilt) {
  const Point3 ray_a = ray_of(start, a), ray_b = ray_of(start, b);
  const auto tilted = [&](double tilt, double direction) {
    const Point3 normal(std::sin(tilt) * std::cos(direction), std::sin(tilt) * std::sin(direction),
                        -std::cos(tilt));
    return plane_with(start, normal, ray_a, ray_b, length_mm);
  };
  const double step = kSteepest / kRings;
  std::vector<WeighedPlane> out{{tilted(0, 0), M_PI * step * step / 4}};
  for (int ring = 1; ring <= kRings; ++ring) {
    const double tilt = ring * step, z = std::sin(tilt) / u_tilt;
    const double weight = std::exp(-0.5 * z * z) * std::sin(tilt) * step * 2 * M_PI / kDirections;
    for (int k = 0; k < kDirections; ++k)
      out.push_back({tilted(tilt, 2 * M_PI * (k + 0.5 * (ring % 2)) / kDirections), weight});
  }
  normalise(out);
  return out;
}

FoundReference weighed_by_roundness(const FoundReference& reference, const std::vector<FineRim>& rims,
                                    double u_roundness) {
  if (reference.planes.empty() || rims.empty()) return reference;
  FoundReference out = reference;
  const double z = reference.hull_z();
  std::vector<double> misfit(out.planes.size(), 0.0), size(out.planes.size(), 0.0);
  for (std::size_t r = 0; r < rims.size(); ++r) {
    const auto seen = some_of(rims[r]);
    if (seen.size() < 3) continue;
    for (std::size_t i = 0; i < out.planes.size(); ++i) {
      const Plane& plane = out.planes[i].plane;
      const Circle circle = circle_in(plane, z, seen);
      const Roundness round = roundness_in(plane, z, seen, circle, u_roundness);
      misfit[i] += round.misfit + 2 * against_wall(plane, z, rims[r], circle);
      if (r == 0) size[i] = round.radius;
    }
  }
  const double least = *std::min_element(misfit.begin(), misfit.end());
  for (std::size_t i = 0; i < out.planes.size(); ++i)
    out.planes[i].weight *= std::exp(-0.5 * (misfit[i] - least));
  normalise(out.planes);
  double mean = 0, most = 0;
  for (std::size_t i = 0; i < out.planes.size(); ++i) {
    mean += out.planes[i].weight * size[i];
    most = std::max(most, out.planes[i].weight);
  }
  std::size_t best = 0;
  double nearest = 1e300;
  for (std::size_t i = 0; i < out.planes.size(); ++i) {
    if (out.planes[i].weight < 0.2 * most || std::abs(size[i] - mean) >= nearest) continue;
    nearest = std::abs(size[i] - mean);
    best = i;
  }
  const auto shares = out.plane.shares;
  out.plane = out.planes[best].plane;
  out.plane.shares = shares;
  return out;
}

}  // namespace spile::vision
