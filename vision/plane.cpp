#include "vision/plane.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/camera_profile.hpp"

namespace spile::vision {
namespace {

struct Normaliser {
  Point2 mean = Point2::Zero();
  double scale = 1;
  [[nodiscard]] Point2 operator()(const Point2& p) const { return (p - mean) * scale; }
  [[nodiscard]] Eigen::Matrix3d matrix() const {
    Eigen::Matrix3d m;
    m << scale, 0, -scale * mean.x(), 0, scale, -scale * mean.y(), 0, 0, 1;
    return m;
  }
};

Normaliser normaliser(const std::vector<Point2>& points) {
  Normaliser out;
  for (const Point2& p : points) out.mean += p / static_cast<double>(points.size());
  double spread = 0;
  for (const Point2& p : points) spread += (p - out.mean).norm() / static_cast<double>(points.size());
  out.scale = spread > 1e-12 ? M_SQRT2 / spread : 1;
  return out;
}

// Solves p = (1 + k1 r2 + k2 r2^2) q for q; a few rounds do for lenses that still look like photographs.
Point2 undistorted(const Point2& p, double k1, double k2) {
  Point2 q = p;
  for (int i = 0; i < 12; ++i) {
    const double r2 = q.squaredNorm();
    const Point2 next = p / (1 + r2 * (k1 + r2 * k2));
    const bool settled = (next - q).squaredNorm() < 1e-22;
    q = next;
    if (settled) break;
  }
  return q;
}

// Focal length at which the homography's first two columns are perpendicular and equally long, where the tilt
// shows it (Hartley & Zisserman, 8.8; from memory).
std::optional<double> focal_from_homography(const Eigen::Matrix3d& h) {
  const double a = h(2, 0) * h(2, 1), b = h(0, 0) * h(0, 1) + h(1, 0) * h(1, 1);
  const double c = h(2, 0) * h(2, 0) - h(2, 1) * h(2, 1);
  const double d = h(0, 0) * h(0, 0) + h(1, 0) * h(1, 0) - h(0, 1) * h(0, 1) - h(1, 1) * h(1, 1);
  const double weight = a * a + c * c;
  if (weight < 1e-18) return std::nullopt;
  const double f2 = -(a * b + c * d) / weight;
  if (!(f2 > 0)) return std::nullopt;
  return std::sqrt(f2);
}

// Pose of z = 0 out of a homography in pixels about the principal point.
std::optional<Plane> decomposed(const Eigen::Matrix3d& h, double focal) {
  Eigen::Matrix3d m = h;
  m.topRows<2>() /= focal;
  const double scale = 2 / (m.col(0).norm() + m.col(1).norm());
  if (!std::isfinite(scale)) return std::nullopt;
  m *= m(2, 2) < 0 ? -scale : scale;
  Eigen::Matrix3d r;
  r << m.col(0), m.col(1), m.col(0).cross(m.col(1));
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(r, Eigen::ComputeFullU | Eigen::ComputeFullV);
  Plane out;
  out.rotation = svd.matrixU() * svd.matrixV().transpose();
  if (out.rotation.determinant() < 0) return std::nullopt;
  out.origin = m.col(2);
  out.focal_px = focal;
  return out;
}

Plane::Vector unknown_steps(const Plane& plane) {
  Plane::Vector step;
  const double turn = 1e-6, shift = 1e-6 * plane.origin.z();
  step << turn, turn, turn, shift, shift, shift, 1e-6, 1e-6, 1e-6, 1e-4, 1e-4;
  return step;
}

constexpr Eigen::Index kLensRows = 4, kFocalRows = 1;

Eigen::Matrix<double, kLensRows + kFocalRows, 1> prior_residuals(const Plane& plane,
                                                                 const CameraPrior& prior) {
  const double k1 = (plane.k1 - prior.k1) / prior.u_k1, k2 = (plane.k2 - prior.k2) / prior.u_k2;
  const double rho = prior.k_correlation;
  Eigen::Matrix<double, kLensRows + kFocalRows, 1> r;
  r << k1, (k2 - rho * k1) / std::sqrt(1 - rho * rho), (plane.centre - prior.centre) / prior.u_centre,
      std::log(plane.focal_px / prior.focal_px) / prior.u_log_focal;
  return r;
}

}  // namespace

std::optional<Eigen::Matrix3d> homography(const std::vector<Point2>& from, const std::vector<Point2>& to) {
  if (from.size() != to.size() || from.size() < 4) return std::nullopt;
  const Normaliser nf = normaliser(from), nt = normaliser(to);
  Eigen::MatrixXd a(2 * static_cast<Eigen::Index>(from.size()), 9);
  for (std::size_t i = 0; i < from.size(); ++i) {
    const Point2 p = nf(from[i]), q = nt(to[i]);
    const auto row = 2 * static_cast<Eigen::Index>(i);
    a.row(row) << p.x(), p.y(), 1, 0, 0, 0, -q.x() * p.x(), -q.x() * p.y(), -q.x();
    a.row(row + 1) << 0, 0, 0, p.x(), p.y(), 1, -q.y() * p.x(), -q.y() * p.y(), -q.y();
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a, Eigen::ComputeFullV);
  const auto& s = svd.singularValues();
  if (s[7] < 1e-9 * s[0]) return std::nullopt;
  const Eigen::Matrix<double, 9, 1> v = svd.matrixV().col(8);
  Eigen::Matrix3d h;
  h << v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8];
  h = nt.matrix().inverse() * h * nf.matrix();
  if (std::abs(h(2, 2)) < 1e-12 * h.norm()) return std::nullopt;
  return Eigen::Matrix3d(h / h(2, 2));
}

Point2 Plane::px_from_mm(const Point3& mm) const {
  const Point3 p = rotation * mm + origin;
  const Point2 q = p.head<2>() / p.z();
  const double r2 = q.squaredNorm();
  return centre + focal_px * (1 + r2 * (k1 + r2 * k2)) * q;
}

std::optional<Point2> Plane::mm_from_px(const Point2& px, double z) const {
  const Point2 q = undistorted((px - centre) / focal_px, k1, k2);
  const Point3 ray = rotation.transpose() * Point3(q.x(), q.y(), 1);
  const Point3 eye = camera_mm();
  const double s = (z - eye.z()) / ray.z();
  if (!(s > 0) || !std::isfinite(s)) return std::nullopt;
  return Point2((eye + s * ray).head<2>());
}

double Plane::mm_per_px(const Point2& px, double z) const {
  const auto a = mm_from_px(px + Point2(0.5, 0), z), b = mm_from_px(px - Point2(0.5, 0), z);
  const auto c = mm_from_px(px + Point2(0, 0.5), z), d = mm_from_px(px - Point2(0, 0.5), z);
  if (!a || !b || !c || !d) return 0;
  const Point2 u = *a - *b, v = *c - *d;
  return std::sqrt(std::abs(u.x() * v.y() - u.y() * v.x()));
}

double Plane::tilt_deg() const {
  return std::acos(std::min(1.0, std::abs(rotation(2, 2)))) * 180 / M_PI;
}

Point3 Plane::camera_mm() const {
  return -(rotation.transpose() * origin);
}

Plane Plane::moved(const Vector& change) const {
  Plane out = *this;
  const Point3 turn = change.head<3>();
  const double angle = turn.norm();
  if (angle > 0) out.rotation = Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix() * rotation;
  out.origin += change.segment<3>(X);
  out.focal_px *= std::exp(change[LogFocal]);
  out.k1 += change[K1];
  out.k2 += change[K2];
  out.centre += change.segment<2>(CentreX);
  return out;
}

Plane::Matrix Plane::covariance() const {
  Matrix sum = Matrix::Zero();
  for (const Share& share : shares) sum += share.covariance;
  return sum;
}

std::vector<double> Plane::spread_of(const std::function<double(const Plane&)>& value) const {
  std::vector<double> out;
  const Vector step = unknown_steps(*this);
  Vector slope;
  Vector change = Vector::Zero();
  for (int k = 0; k < kUnknowns; ++k) {
    // Wide enough for values that come out of a fit, small enough to stay linear.
    const double h = 100 * step[k];
    change[k] = h;
    const double up = value(moved(change));
    change[k] = -h;
    slope[k] = (up - value(moved(change))) / (2 * h);
    change[k] = 0;
  }
  for (const Share& share : shares)
    out.push_back(std::sqrt(std::max(0.0, slope.dot(share.covariance * slope))));
  return out;
}

CameraPrior camera_prior(const PictureInfo& info) {
  if (info.lens) return calibrated_prior(*info.lens, info);
  CameraPrior prior;
  const double diagonal = std::hypot(info.width_px, info.height_px);
  prior.centre = Point2(0.5 * (info.width_px - 1), 0.5 * (info.height_px - 1));
  prior.u_centre = 0.004 * diagonal;
  prior.focal_from_exif = info.focal_px.has_value();
  // EXIF rounds the 35 mm equivalent and leaves out how focusing near changes it. Without EXIF: what phones
  // and compact cameras have, 24 to 50 mm equivalent.
  prior.focal_px = info.focal_px.value_or(0.68 * diagonal);
  prior.u_log_focal = info.focal_px ? 0.025 : 0.25;
  return prior;
}

std::optional<Plane> plane_from_points(const std::vector<Point2>& mm, const std::vector<Point2>& px,
                                       const CameraPrior& prior) {
  std::vector<Point2> about_centre;
  for (const Point2& p : px) about_centre.push_back(p - prior.centre);
  const auto h = homography(mm, about_centre);
  if (!h) return std::nullopt;
  double focal = prior.focal_px;
  if (!prior.focal_from_exif) {
    const auto seen = focal_from_homography(*h);
    if (seen && *seen > 0.5 * focal && *seen < 2 * focal) focal = *seen;
  }
  auto plane = decomposed(*h, focal);
  if (plane) plane->centre = prior.centre;
  return plane;
}

PlaneFit fit_plane(const Plane& start, const CameraPrior& prior, const PlaneResiduals& residuals,
                   const Eigen::VectorXd& extra, const Eigen::VectorXd& extra_step,
                   const std::vector<ResidualGroup>& groups) {
  Plane base = start;
  base.shares.clear();
  const auto unknowns = static_cast<Eigen::Index>(Plane::kUnknowns);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(unknowns + extra.size());
  Eigen::VectorXd step(x.size());
  x.tail(extra.size()) = extra;
  step << unknown_steps(base), extra_step;
  const auto all = [&](const Eigen::VectorXd& at) {
    const Plane trial = base.moved(at.head<Plane::kUnknowns>());
    const Eigen::VectorXd seen = residuals(trial, at.tail(extra.size()));
    Eigen::VectorXd r(seen.size() + kLensRows + kFocalRows);
    r << seen, prior_residuals(trial, prior);
    return r;
  };
  const LeastSquaresResult solved = least_squares(all, x, step, 40);
  const Eigen::Index seen = solved.residuals.size() - kLensRows - kFocalRows;
  const auto share = [&](Eigen::Index first, Eigen::Index count) -> Plane::Matrix {
    return solved.covariance_from(first, count).topLeftCorner<Plane::kUnknowns, Plane::kUnknowns>();
  };
  PlaneFit out;
  out.plane = base.moved(solved.x.head<Plane::kUnknowns>());
  Eigen::Index row = 0;
  for (const ResidualGroup& group : groups) {
    out.plane.shares.push_back({group.term, share(row, group.rows)});
    row += group.rows;
  }
  out.plane.shares.push_back({prior.lens_term, share(seen, kLensRows)});
  out.plane.shares.push_back({"focal length", share(seen + kLensRows, kFocalRows)});
  out.extra = solved.x.tail(extra.size());
  out.extra_covariance = solved.covariance.bottomRightCorner(extra.size(), extra.size());
  out.rms =
      std::sqrt(solved.residuals.head(seen).squaredNorm() / std::max<double>(1, static_cast<double>(seen)));
  out.converged = solved.converged;
  return out;
}

PlaneFit fit_plane(const Plane& start, const CameraPrior& prior, const PlaneResiduals& residuals,
                   const Eigen::VectorXd& extra, const Eigen::VectorXd& extra_step, const std::string& term) {
  return fit_plane(start, prior, residuals, extra, extra_step,
                   std::vector<ResidualGroup>{{term, residuals(start, extra).size()}});
}

}  // namespace spile::vision
