#include "vision/ellipse.hpp"

#include <Eigen/Dense>
#include <cmath>

namespace spile::vision {
namespace {

// x^T Q x = 0 in homogeneous pixels.
Eigen::Matrix3d conic_of(const Ellipse& e) {
  const double c = std::cos(e.angle), s = std::sin(e.angle);
  Eigen::Matrix3d to_unit;
  to_unit << c / e.major, s / e.major, -(c * e.centre.x() + s * e.centre.y()) / e.major, -s / e.minor,
      c / e.minor, (s * e.centre.x() - c * e.centre.y()) / e.minor, 0, 0, 1;
  return to_unit.transpose() * Eigen::Vector3d(1, 1, -1).asDiagonal() * to_unit;
}

// A x^2 + B xy + C y^2 + D x + E y = 1 as an ellipse about the same origin.
std::optional<Ellipse> ellipse_of(const Eigen::Matrix<double, 5, 1>& v) {
  Eigen::Matrix2d q;
  q << v[0], v[1] / 2, v[1] / 2, v[2];
  const Point2 linear(v[3], v[4]);
  if (!(q.determinant() > 0)) return std::nullopt;
  Ellipse out;
  out.centre = -0.5 * q.inverse() * linear;
  const double level = 1 + out.centre.dot(q * out.centre);
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(q / level);
  if (!(axes.eigenvalues()[0] > 0)) return std::nullopt;
  out.major = 1 / std::sqrt(axes.eigenvalues()[0]);
  out.minor = 1 / std::sqrt(axes.eigenvalues()[1]);
  const Point2 along = axes.eigenvectors().col(0);
  out.angle = std::atan2(along.y(), along.x());
  return out;
}

Plane facing(const Point3& normal, const Point3& centre, const CameraPrior& prior) {
  Plane plane;
  plane.focal_px = prior.focal_px;
  plane.centre = prior.centre;
  plane.k1 = prior.k1;
  plane.k2 = prior.k2;
  const Point3 x = Point3(1, 0, 0) - normal.x() * normal;
  plane.rotation.col(0) = x.normalized();
  plane.rotation.col(2) = normal;
  plane.rotation.col(1) = normal.cross(plane.rotation.col(0));
  plane.origin = centre;
  return plane;
}

}  // namespace

Point2 Ellipse::at(double phase) const {
  const double c = std::cos(angle), s = std::sin(angle);
  const double x = major * std::cos(phase), y = minor * std::sin(phase);
  return centre + Point2(c * x - s * y, s * x + c * y);
}

std::optional<double> Ellipse::reach(const Point2& from, double direction) const {
  const double c = std::cos(angle), s = std::sin(angle);
  const auto unit = [&](const Point2& p) -> Point2 {
    return {(c * p.x() + s * p.y()) / major, (-s * p.x() + c * p.y()) / minor};
  };
  const Point2 p = unit(from - centre), d = unit(Point2(std::cos(direction), std::sin(direction)));
  const double a = d.squaredNorm(), b = p.dot(d), rest = p.squaredNorm() - 1;
  if (rest >= 0) return std::nullopt;
  return (-b + std::sqrt(b * b - a * rest)) / a;
}

bool Ellipse::holds(const Point2& p) const {
  const Point2 d = p - centre;
  const double c = std::cos(angle), s = std::sin(angle);
  return Point2((c * d.x() + s * d.y()) / major, (-s * d.x() + c * d.y()) / minor).squaredNorm() < 1;
}

std::optional<Ellipse> ellipse_through(const std::vector<Point2>& points, const Point2& inside, double size) {
  if (points.size() < 5) return std::nullopt;
  Eigen::Matrix<double, 5, 5> m = Eigen::Matrix<double, 5, 5>::Zero();
  Eigen::Matrix<double, 5, 1> v = Eigen::Matrix<double, 5, 1>::Zero();
  for (const Point2& point : points) {
    const Point2 p = (point - inside) / size;
    Eigen::Matrix<double, 5, 1> row;
    row << p.x() * p.x(), p.x() * p.y(), p.y() * p.y(), p.x(), p.y();
    m += row * row.transpose();
    v += row;
  }
  const Eigen::Matrix<double, 5, 1> solved = m.ldlt().solve(v);
  if (!solved.allFinite()) return std::nullopt;
  auto out = ellipse_of(solved);
  if (!out) return std::nullopt;
  out->centre = inside + size * out->centre;
  out->major *= size;
  out->minor *= size;
  return out;
}

std::vector<Plane> planes_of_circle(const Ellipse& seen, double radius_mm, const CameraPrior& prior) {
  Eigen::Matrix3d camera;
  camera << prior.focal_px, 0, prior.centre.x(), 0, prior.focal_px, prior.centre.y(), 0, 0, 1;
  Eigen::Matrix3d cone = camera.transpose() * conic_of(seen) * camera;
  cone /= cone.norm();
  // Two positive eigenvalues, the smaller one in the middle, and one negative.
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(cone);
  const double l3 = axes.eigenvalues()[0], l2 = axes.eigenvalues()[1], l1 = axes.eigenvalues()[2];
  std::vector<Plane> out;
  if (!(l2 > 0) || !(l3 < 0)) return out;
  Eigen::Matrix3d basis;
  basis << axes.eigenvectors().col(2), axes.eigenvectors().col(1), axes.eigenvectors().col(0);
  const double g = std::sqrt(std::max(0.0, (l1 - l2) / (l1 - l3))), h = std::sqrt((l2 - l3) / (l1 - l3));
  const double distance = l2 * radius_mm / std::sqrt(-l1 * l3);
  for (const double side : {1.0, -1.0}) {
    Point3 centre = distance * (basis * Point3(side * l3 / l2 * g, 0, -l1 / l2 * h));
    Point3 normal = basis * Point3(side * g, 0, -h);
    if (centre.z() < 0) centre = -centre;
    if (normal.dot(centre) > 0) normal = -normal;
    out.push_back(facing(normal, centre, prior));
  }
  return out;
}

}  // namespace spile::vision
