// A regular hexagon among the edges about a point of a plane, and the foot of the prism it is the face of;
// for this folder only. Lengths in mm in the plane.
#pragma once

#include <cmath>
#include <optional>

#include "vision/rim.hpp"

namespace spile::vision {

struct HexagonFit {
  Point2 centre = Point2::Zero();
  double apothem = 0;  // half of the size across flats
  double turn = 0;     // direction of one flat's normal, rad
  double support = 0;  // share of the directions in which an edge lies on it
  double u_apothem = 0;
  double mm_per_px = 0;

  [[nodiscard]] Point2 normal(int side) const {
    const double a = turn + side * M_PI / 3;
    return {std::cos(a), std::sin(a)};
  }
  [[nodiscard]] Point2 middle_of(int side) const { return centre + apothem * normal(side); }
  [[nodiscard]] Point2 corner(int k) const {
    const double a = turn + (k + 0.5) * M_PI / 3;
    return centre + apothem / std::cos(M_PI / 6) * Point2(std::cos(a), std::sin(a));
  }
};

[[nodiscard]] inline Point3 lift(const Point2& mm, double z) {
  return {mm.x(), mm.y(), z};
}

// Six straight sides round a circle within them or, roughly, on them. Nothing where fewer than five show.
[[nodiscard]] std::optional<HexagonFit> hexagon_about(const RimPlace& place, const Circle& within);

// How high over `hull` the hexagon lies that was fitted `fitted_height` over it, from the line where the
// prism's sides meet the hull; nothing where the camera sees none of them.
[[nodiscard]] std::optional<double> foot_of(const RimPlace& hull, const HexagonFit& face,
                                            double fitted_height);

}  // namespace spile::vision
