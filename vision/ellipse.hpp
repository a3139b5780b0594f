// An ellipse in the picture, and the two circles in space that look like it; for this folder only. Pixels.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "vision/plane.hpp"

namespace spile::vision {

struct Ellipse {
  Point2 centre = Point2::Zero();
  double major = 0, minor = 0;  // half axes
  double angle = 0;             // of the major axis, from +x towards +y

  [[nodiscard]] double mean_radius() const { return std::sqrt(major * minor); }
  [[nodiscard]] Point2 at(double phase) const;
  // Where a ray from `from`, inside the ellipse, leaves it: the distance. Nothing from outside.
  [[nodiscard]] std::optional<double> reach(const Point2& from, double direction) const;
  [[nodiscard]] bool holds(const Point2& p) const;
};

// Through points spread round it, by least squares on the conic's equation (five or more points, `inside`
// being a point within the ellipse, `size` about its radius). Nothing when they lie on no ellipse.
[[nodiscard]] std::optional<Ellipse> ellipse_through(const std::vector<Point2>& points, const Point2& inside,
                                                     double size);

// The planes in which a circle of `radius_mm` about the plane's origin is seen as the ellipse. There are
// always two, tilted either way, and no perspective tells them apart (Q. Chen, H. Wu, T. Wada, "Camera
// calibration with two arbitrary coplanar circles", ECCV 2004; from memory). The lens's distortion is left
// aside.
[[nodiscard]] std::vector<Plane> planes_of_circle(const Ellipse& seen, double radius_mm,
                                                  const CameraPrior& prior);

}  // namespace spile::vision
