// The rim of one round thing, from a rough circle to a sub-pixel one.
#pragma once

#include <optional>
#include <vector>

#include "vision/circle_fit.hpp"
#include "vision/colour_profile.hpp"
#include "vision/plane.hpp"
#include "vision/rim_steps.hpp"

namespace spile::vision {

// A plane the rim lies in, ready to go from angles on a circle to pixels and normals.
struct RimPlace {
  const ColourView& view;
  const Plane& plane;
  double z = 0;

  // Pixel of a point of the plane, and the unit normal, in pixels, of the rim there (outwards).
  struct Foot {
    Point2 px = Point2::Zero(), normal = Point2::Zero();
    double mm_per_px = 0;  // along the normal
  };
  [[nodiscard]] Foot foot(const Point2& centre, double radius, double angle) const;
};

// The circle near `start` (centre to a quarter of the radius, radius to a fifth) on which most edges lie;
// nothing when fewer than a third of the directions have an edge there.
struct CoarseRim {
  Circle circle;
  double support = 0;   // share of directions with an edge on the circle
  double contrast = 0;  // median step there, coded values
};
[[nodiscard]] std::optional<CoarseRim> coarse_rim(const RimPlace& place, const Circle& start);

// The edge nearest to a place on the rim, along its normal, within `reach` pixels.
[[nodiscard]] std::optional<EdgeFit> nearest_edge(const RimPlace& place, const RimPlace::Foot& foot,
                                                  double reach);

struct RimSample {
  double angle = 0;  // in the plane, about the fitted centre
  Point2 px = Point2::Zero();
  Point2 mm = Point2::Zero();
  double u_mm = 0;  // from noise, along the radius
  double blur_px = 0;
  double contrast = 0;   // coded values, signed: outside minus inside
  double mm_per_px = 0;  // along the normal
  bool inlier = false;
};

struct FineRim {
  RoundFit fit;
  std::vector<RimSample> samples;
  int directions = 0;    // normals tried inside the picture
  double seen = 0;       // share of the rim with an edge on the fit
  double contrast = 0;   // median over the inliers, coded values, unsigned
  double blur_px = 0;    // median over the inliers
  double mm_per_px = 0;  // mean along the normals
  // Where within it the wall of the bore shows, as a direction in the picture times how clearly (0..1).
  Point2 wall = Point2::Zero();
  bool placed = false;      // the samples are points as a person placed them, with their uncertainty
  double u_other_edge = 0;  // of the radius, mm: another edge may have been meant
  double coat_mm = 0;       // of the hull's coat seen from the side below the rim; 0: none made out
  double coat_lever = 0;    // mm of diameter for each mm by which that coat may be misjudged
};

// Nothing when too little of the rim can be seen to fit it. By the nearest steps in no more than so many
// directions: enough to choose by.
constexpr int kFewDirections = 144;
[[nodiscard]] std::optional<FineRim> fine_rim(const RimPlace& place, const Circle& start, double u_roundness,
                                              StepChoice choice = StepChoice::Clearest);

}  // namespace spile::vision
