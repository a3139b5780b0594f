// Where a cut edge is thinner than the rest of it; for this folder only.
#pragma once

#include <optional>
#include <vector>

#include "vision/cut_face.hpp"

namespace spile::vision {

struct LocalThinning {
  double along = 0;   // mm along the boundaries, as the points count it
  double change = 0;  // mm, of the thickness there against that of the whole face; < 0
  double u = 0;       // mm, of that change
  double outer = 0,
         inner = 0;  // mm across, how far the first and the last boundary lie off their lines there
};

// The thinnest place over some millimetres of the edge, where it is thinner by clearly more than the faces'
// own waviness. Nothing on an even edge.
[[nodiscard]] std::optional<LocalThinning> thinnest_of(const std::vector<BoundaryPoint>& points,
                                                       const CutFace& face);

}  // namespace spile::vision
