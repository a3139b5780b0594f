// Two photos of the same hull, taken seasons apart, brought to lie on one another in the plane of the hull:
// by the opening both show, by what is on the hull round it, whatever the light. For this folder only.
#pragma once

#include <vector>

#include "vision/hull_view.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

// One photo, ready to be laid on another: its reference and the openings found, in mm on its plane.
struct HullPhoto {
  const Picture::Pixels& pixels;
  FoundReference reference;
  struct Opening {
    Point2 centre_mm = Point2::Zero();
    double diameter_mm = 0;
  };
  std::vector<Opening> openings;
};

struct HullMatch {
  PlaneFromGrid later_from_grid = PlaneFromGrid::Identity(), earlier_from_grid = PlaneFromGrid::Identity();
  double radius_mm = 0;    // of the opening at the grid's origin, in the later photo
  double residual_mm = 0;  // what is left between the two near the opening, from the scatter of the patches
  int patches = 0;         // that agree
  double agreeing = 0;     // share of the patches with something on them
};

// Refusals: nothing-found (no opening of one size in both photos), not-aligned (too little on the hull
// agrees).
[[nodiscard]] Expected<HullMatch> match_hulls(const HullPhoto& earlier, const HullPhoto& later,
                                              const StopAsked& stop);

}  // namespace spile::vision
