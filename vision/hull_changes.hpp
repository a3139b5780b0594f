// What differs between two views of the hull laid on one another: lines (cracks) and patches (stains, chips).
// For this folder only. A change of light is none: shadows have their edge on one side only, glare is not
// seen.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "vision/hull_view.hpp"

namespace spile::vision {

struct HullChange {
  std::string kind;            // crack, stain, chip, other
  std::vector<Point2> points;  // grid mm: the crack's course, or the closed outline
  double size = 0;             // mm of a crack, mm2 of the rest
  double earlier_size = 0;     // mm2 of the rest in the earlier view
  double u_size = 0;           // standard uncertainty from where its ends or edges are
};

struct HullPair {
  HullView earlier, later;  // on the same grid
  double radius_mm = 0;     // of the opening at the grid's origin
  double u_match_mm = 0;    // how well the two lie on one another
};

// The same pair on finer cells: those of `pair` in the box and so many mm round them.
using FinePair = std::function<HullPair(const cv::Rect& cells, double margin_mm)>;

[[nodiscard]] std::vector<HullChange> new_cracks(const HullPair& pair, const FinePair& fine);
[[nodiscard]] std::vector<HullChange> changed_patches(const HullPair& pair);
// The cracks that are not the edge of one of the patches.
[[nodiscard]] std::vector<HullChange> without_edges_of(const std::vector<HullChange>& patches,
                                                       std::vector<HullChange> cracks);

}  // namespace spile::vision
