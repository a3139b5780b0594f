// An upright hexagonal prism standing on the hull, met by a ray from above.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "solids.hpp"

namespace spile::scenes {

// Own frame: its axis at (0, 0). A flat's normal points towards `turn_deg`.
struct Prism {
  double x = 0, y = 0, turn_deg = 0, across_flats = 0, top = 0, bottom = 0;

  [[nodiscard]] static std::array<double, 2> normal(double deg) {
    const double angle = deg * std::numbers::pi / 180;
    return {std::cos(angle), std::sin(angle)};
  }
  [[nodiscard]] std::optional<Hit> meet(Vec3 from, Vec3 ray) const {
    const double ox = from.x - x, oy = from.y - y, top_t = (top - from.z) / ray.z;
    double enter = top_t, leave = (bottom - from.z) / ray.z;
    for (int side = 0; side < 3; ++side) {
      const auto [nx, ny] = normal(turn_deg + 60 * side);
      const double o = ox * nx + oy * ny, d = ray.x * nx + ray.y * ny, half = across_flats / 2;
      if (std::abs(d) < 1e-12) {
        if (std::abs(o) > half) return std::nullopt;
        continue;
      }
      const double a = (-half - o) / d, b = (half - o) / d;
      enter = std::max(enter, std::min(a, b));
      leave = std::min(leave, std::max(a, b));
    }
    if (enter >= leave) return std::nullopt;
    return Hit{enter, enter == top_t, ox + enter * ray.x, oy + enter * ray.y, from.z + enter * ray.z};
  }
  // How far a point of the plane lies outside the nearest flat's line; 0 inside.
  [[nodiscard]] double distance(double px, double py) const {
    double out = 0;
    for (int side = 0; side < 3; ++side) {
      const auto [nx, ny] = normal(turn_deg + 60 * side);
      out = std::max(out, std::abs((px - x) * nx + (py - y) * ny) - across_flats / 2);
    }
    return out;
  }
  // Corner `k` of six.
  [[nodiscard]] std::array<double, 2> corner(int k) const {
    const auto [nx, ny] = normal(turn_deg + 30 + 60 * k);
    const double r = across_flats / std::sqrt(3.0);
    return {x + r * nx, y + r * ny};
  }
};

}  // namespace spile::scenes
