// The pinhole with two radial terms, both ways.
#pragma once

#include <array>
#include <vector>

#include "photo.hpp"

namespace spile::scenes {

struct Vec3 {
  double x = 0, y = 0, z = 0;
};
inline Vec3 operator+(Vec3 a, Vec3 b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline Vec3 operator*(Vec3 a, double k) {
  return {a.x * k, a.y * k, a.z * k};
}

// Camera frame: x right, y down, z forward; X_cam = R (X - position).
class Pinhole {
 public:
  // `rays`: also ready for ray(), which takes a table.
  explicit Pinhole(const Camera& camera, bool rays = false);
  [[nodiscard]] Vec3 position() const { return position_; }
  [[nodiscard]] Vec3 ray(double u, double v) const;  // direction in the hull frame, not normalised
  [[nodiscard]] Pixel project(Vec3 point) const;
  [[nodiscard]] double off_axis(double u, double v) const;  // 0 in the middle, 1 in the corner

 private:
  [[nodiscard]] double undistort(double distorted_r2) const;  // factor

  static constexpr int kSteps = 2048;
  [[nodiscard]] double distortion(double r2) const { return 1 + r2 * (k1_ + r2 * k2_); }

  double focal_, cx_, cy_, k1_, k2_;
  double middle_x_, middle_y_;  // of the picture
  Vec3 position_;
  std::array<Vec3, 3> rows_;  // of R
  double table_step_ = 1;
  std::vector<double> factor_;
};

}  // namespace spile::scenes
