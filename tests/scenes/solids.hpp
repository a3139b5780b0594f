// Boxes and cylinders standing on the hull, met by a ray from above.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "geometry.hpp"

namespace spile::scenes {

struct Hit {
  double t = 0;
  bool top = false;
  double x = 0, y = 0, z = 0;  // in the solid's own frame (z as in the hull frame)
};

// A box turned about z; own frame: corner at (0, 0), sides `lx`, `ly`.
struct Plate {
  double x = 0, y = 0, c = 1, s = 0, lx = 0, ly = 0, top = 0, bottom = 0;

  static Plate turned(double x, double y, double deg, double lx, double ly, double top, double bottom) {
    const double angle = deg * std::numbers::pi / 180;
    return {x, y, std::cos(angle), std::sin(angle), lx, ly, top, bottom};
  }
  [[nodiscard]] std::array<double, 2> inward(double px, double py) const {
    return {(px - x) * c + (py - y) * s, (py - y) * c - (px - x) * s};
  }
  [[nodiscard]] std::array<double, 2> outward(double px, double py) const {
    return {x + px * c - py * s, y + px * s + py * c};
  }
  [[nodiscard]] std::optional<Hit> meet(Vec3 from, Vec3 ray) const {
    const auto [ox, oy] = inward(from.x, from.y);
    const double dx = ray.x * c + ray.y * s, dy = ray.y * c - ray.x * s;
    const double top_t = (top - from.z) / ray.z;
    double enter = top_t, leave = (bottom - from.z) / ray.z;
    const auto slab = [&](double o, double d, double length) {
      if (std::abs(d) < 1e-12) {
        if (o < 0 || o > length) leave = -1;
        return;
      }
      const double a = -o / d, b = (length - o) / d;
      enter = std::max(enter, std::min(a, b));
      leave = std::min(leave, std::max(a, b));
    };
    slab(ox, dx, lx);
    slab(oy, dy, ly);
    if (enter >= leave) return std::nullopt;
    return Hit{enter, enter == top_t, ox + enter * dx, oy + enter * dy, from.z + enter * ray.z};
  }
  // Distance of a point of the plane from the footprint; 0 inside.
  [[nodiscard]] double distance(double px, double py) const {
    const auto [ux, uy] = inward(px, py);
    const double ex = std::max({-ux, 0.0, ux - lx}), ey = std::max({-uy, 0.0, uy - ly});
    return std::sqrt(ex * ex + ey * ey);
  }
};

// An upright cylinder; own frame: its axis at (0, 0).
struct Drum {
  double x = 0, y = 0, radius = 0, top = 0, bottom = 0;

  [[nodiscard]] std::optional<Hit> meet(Vec3 from, Vec3 ray) const {
    const double ox = from.x - x, oy = from.y - y;
    const double a = ray.x * ray.x + ray.y * ray.y, b = ox * ray.x + oy * ray.y;
    const double q = ox * ox + oy * oy - radius * radius;
    const double top_t = (top - from.z) / ray.z;
    double enter = top_t, leave = (bottom - from.z) / ray.z;
    if (a > 1e-12) {
      const double root = b * b - a * q;
      if (root < 0) return std::nullopt;
      enter = std::max(enter, (-b - std::sqrt(root)) / a);
      leave = std::min(leave, (-b + std::sqrt(root)) / a);
    } else if (q > 0) {
      return std::nullopt;
    }
    if (enter >= leave) return std::nullopt;
    return Hit{enter, enter == top_t, ox + enter * ray.x, oy + enter * ray.y, from.z + enter * ray.z};
  }
  [[nodiscard]] double distance(double px, double py) const {
    return std::max(0.0, std::sqrt((px - x) * (px - x) + (py - y) * (py - y)) - radius);
  }
};

}  // namespace spile::scenes
