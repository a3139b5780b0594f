// A round thing in the plane out of points on its rim: a circle with a second harmonic for ovality, robust
// against chips and strays, with a covariance that knows neighbouring points err together.
#pragma once

#include <cmath>
#include <optional>
#include <vector>

#include "vision/plane.hpp"

namespace spile::vision {

struct RimPoint {
  Point2 mm = Point2::Zero();
  double u = 1;  // standard uncertainty along the radius, mm
};

// Radius towards the angle a: radius + oval_cos * cos 2a + oval_sin * sin 2a.
struct RoundFit {
  Point2 centre = Point2::Zero();
  double radius = 0, oval_cos = 0, oval_sin = 0;
  double scatter = 0;        // robust standard deviation of the points about the fit, mm
  double u_radius = 0;       // from that scatter, by stretches of the rim
  double u_oval = 0;         // of the harmonic's amplitude
  double bin_scatter = 0;    // of the stretches' means about the fit, mm
  std::vector<bool> inlier;  // one for each point given
  [[nodiscard]] double oval() const { return std::hypot(oval_cos, oval_sin); }
  [[nodiscard]] double radius_at(double angle) const {
    return radius + oval_cos * std::cos(2 * angle) + oval_sin * std::sin(2 * angle);
  }
  [[nodiscard]] Point2 at(double angle) const {
    return centre + radius_at(angle) * Point2(std::cos(angle), std::sin(angle));
  }
};

// `u_roundness` is what the second harmonic may be, as a share of the radius, before the points are seen: 0
// keeps it a circle. Nothing for fewer than five points, or points that lie on no circle.
[[nodiscard]] std::optional<RoundFit> fit_round(const std::vector<RimPoint>& points, double u_roundness);

// The same for few points whose uncertainties are known and differ: the stated uncertainty follows from them,
// made larger where the points scatter more than they say.
[[nodiscard]] std::optional<RoundFit> fit_round_weighted(const std::vector<RimPoint>& points,
                                                         double u_roundness);

// The circle through three points; nothing when they lie in line.
struct Circle {
  Point2 centre = Point2::Zero();
  double radius = 0;
};
[[nodiscard]] std::optional<Circle> circle_through(const Point2& a, const Point2& b, const Point2& c);

}  // namespace spile::vision
