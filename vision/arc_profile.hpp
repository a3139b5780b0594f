// The rim seen stretch by stretch: colours along the normals of one arc averaged, and a model of what lies
// there fitted to them: the hull, then, where the camera sees the wall of the bore, the hull's own coat
// (paint or gelcoat) seen from the side, then whatever is below or behind. Offsets in pixels along the
// normal, outwards.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "vision/rim.hpp"

namespace spile::vision {

struct ArcProfile {
  double angle = 0;      // of the arc's middle, in the plane
  double mm_per_px = 1;  // along the normal
  double depth_px =
      0;  // how far inwards a point of the wall moves for each mm it lies deeper; <= 0: not seen
  Point2 normal = Point2::Zero();
  int normals = 0;
  double first = 0, step = 0.5;
  std::vector<std::array<float, 3>> ycc;  // mean luma, Cb, Cr; coded values, chroma about 0
  std::vector<Colour> light;              // of the same
  [[nodiscard]] double x(std::size_t i) const { return first + step * static_cast<double>(i); }
};

// Arcs of equal angle about a fitted rim, those without at least three good normals left out.
[[nodiscard]] std::vector<ArcProfile> arc_profiles(const RimPlace& place, const FineRim& rim, int arcs);

struct ArcFit {
  double offset = 0;  // of the rim
  double u = 0;
  double blur = 0;
  double cost = 0;       // sum of squares, in units of the noise assumed
  double kappa = 1;      // light on the coat's side over that on its face
  double contrast = 0;   // between the hull and what adjoins it, coded values
  bool clipped = false;  // what lies within is over-exposed
};

// `coat_px`: width of the coat's side as seen, 0 for none. `blur`: fixed when given. `starts` from the offset
// given.
struct ArcModel {
  double coat_px = 0;
  std::optional<double> blur;
  double u_log_blur = 0.02;  // how well that blur is known
  double start = 0;
  double kappa = 0.8, u_kappa = 0.8;  // expected: other light, the same paint
  double sharpening = 0;              // what the camera added of (picture - soft picture), in luma
};
[[nodiscard]] std::optional<ArcFit> fit_arc(const ArcProfile& arc, const ArcModel& model);

}  // namespace spile::vision
