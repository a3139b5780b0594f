// Points along one straight edge of known place to a few pixels: a marker's side, a card's rim, a rule's
// flank.
#pragma once

#include <vector>

#include "vision/edge_profile.hpp"
#include "vision/plane.hpp"

namespace spile::vision {

struct EdgePoint {
  Point2 px = Point2::Zero();
  Point2 normal = Point2::Zero();  // unit; from dark to light when `sign` was +1
  double u = 0;                    // standard uncertainty along the normal, px, from noise alone
  double blur = 0;                 // px
  double contrast = 0;             // coded values, positive
};

struct EdgeTrace {
  double reach = 4;      // how far from the expected line the edge may lie, px
  double window = 4;     // half-width of the stretch of profile each fit sees, px
  double trim = 0.08;    // share left out at either end, where corners disturb
  int count = 24;        // normals
  double contrast = 15;  // least step, coded values
};

// The edge between a and b whose light side lies along the normal (the line's direction turned by +90
// degrees, x to y) when sign is +1, against it when -1. Points off a robust straight line are left out. Empty
// when fewer than a third of the normals agree.
[[nodiscard]] std::vector<EdgePoint> trace_edge(const LightView& view, const Point2& a, const Point2& b,
                                                int sign, const EdgeTrace& trace);

// The points gathered into `bins` stretches: places averaged, uncertainty as their scatter says, not less
// than `floor_u`.
[[nodiscard]] std::vector<EdgePoint> gathered(const std::vector<EdgePoint>& points, int bins, double floor_u);

}  // namespace spile::vision
