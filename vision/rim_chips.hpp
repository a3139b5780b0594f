// Chips in a fitted rim: where the hull's face has broken away outside it, told by its colour. For this
// folder only.
#pragma once

#include <vector>

#include "vision/measure.hpp"
#include "vision/rim.hpp"

namespace spile::vision {

struct RimChip {
  double angle = 0;                     // of its deepest place, in the plane, about the rim's centre
  double from = 0, to = 0;              // the arc it takes; from < to
  double depth_mm = 0, u_depth_mm = 0;  // radially, from the fitted rim outwards
  double width_mm = 0;                  // along the rim
  std::vector<Point2> outline_mm;       // closed
};

// Deepest first. What the picture does not show clearly is left out: a chip of the hull's own colour, one no
// more than two pixels deep; and what goes on beyond the rim: a crack, a seam, the edge of a shadow.
[[nodiscard]] std::vector<RimChip> rim_chips(const RimPlace& place, const FineRim& rim);

// Takes the chips' arcs out of what the rim is fitted on; false when there were none or too little would be
// left.
bool leave_out(const std::vector<RimChip>& chips, FineRim& rim);

[[nodiscard]] std::vector<Chip> described(const std::vector<RimChip>& chips, const RimPlace& place,
                                          const FineRim& rim);

}  // namespace spile::vision
