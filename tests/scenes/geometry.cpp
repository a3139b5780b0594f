#include "geometry.hpp"

#include <cmath>
#include <numbers>

namespace spile::scenes {

namespace {

double radians(double deg) {
  return deg * std::numbers::pi / 180.0;
}

double dot(Vec3 a, Vec3 b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}

// Rotation by `angle` about the unit vector `axis` (Rodrigues).
Vec3 rotate(Vec3 v, Vec3 axis, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  const Vec3 cross{axis.y * v.z - axis.z * v.y, axis.z * v.x - axis.x * v.z, axis.x * v.y - axis.y * v.x};
  return v * c + cross * s + axis * (dot(axis, v) * (1 - c));
}

}  // namespace

Pinhole::Pinhole(const Camera& camera, bool rays)
    : focal_(camera.focal_px),
      cx_((camera.width_px - 1) / 2.0 + camera.axis_x_px),
      cy_((camera.height_px - 1) / 2.0 + camera.axis_y_px),
      k1_(camera.k1),
      k2_(camera.k2),
      middle_x_((camera.width_px - 1) / 2.0),
      middle_y_((camera.height_px - 1) / 2.0) {
  const double tilt = radians(camera.tilt_deg), azimuth = radians(camera.azimuth_deg);
  const Vec3 out{std::sin(tilt) * std::cos(azimuth), std::sin(tilt) * std::sin(azimuth), -std::cos(tilt)};
  position_ = Vec3{camera.look_x, camera.look_y, 0} + out * camera.distance_mm;
  const Vec3 forward = out * -1.0;
  // The smallest turn that takes the straight view to the tilted one, so that tilting alone does not roll.
  const Vec3 axis{std::sin(azimuth), -std::cos(azimuth), 0};
  rows_ = {rotate({1, 0, 0}, axis, tilt), rotate({0, 1, 0}, axis, tilt), forward};
  for (int i = 0; i < 2; ++i)
    rows_.at(static_cast<std::size_t>(i)) =
        rotate(rows_.at(static_cast<std::size_t>(i)), forward, radians(camera.roll_deg));
  if (!rays) return;
  factor_.resize(kSteps + 2);
  table_step_ = (middle_x_ * middle_x_ + middle_y_ * middle_y_) * 1.25 / (focal_ * focal_) / kSteps;
  for (int i = 0; i < kSteps + 2; ++i) {
    const double distorted = i * table_step_;
    double r2 = distorted;
    for (int turn = 0; turn < 30; ++turn) r2 = distorted / (distortion(r2) * distortion(r2));
    factor_.at(static_cast<std::size_t>(i)) = 1 / distortion(r2);
  }
}

double Pinhole::undistort(double distorted_r2) const {
  const double at = distorted_r2 / table_step_;
  const auto i = std::min(static_cast<std::size_t>(at), static_cast<std::size_t>(kSteps));
  const double part = at - static_cast<double>(i);
  return factor_[i] * (1 - part) + factor_[i + 1] * part;
}

Vec3 Pinhole::ray(double u, double v) const {
  const double xd = (u - cx_) / focal_, yd = (v - cy_) / focal_;
  const double k = undistort(xd * xd + yd * yd);
  return rows_[0] * (xd * k) + rows_[1] * (yd * k) + rows_[2];
}

Pixel Pinhole::project(Vec3 point) const {
  const Vec3 from = point + position_ * -1.0;
  const double depth = dot(rows_[2], from);
  const double x = dot(rows_[0], from) / depth, y = dot(rows_[1], from) / depth;
  const double k = distortion(x * x + y * y);
  return {cx_ + focal_ * x * k, cy_ + focal_ * y * k};
}

double Pinhole::off_axis(double u, double v) const {
  return ((u - middle_x_) * (u - middle_x_) + (v - middle_y_) * (v - middle_y_)) /
         (middle_x_ * middle_x_ + middle_y_ * middle_y_);
}

}  // namespace spile::scenes
