// What a reference gives to whatever is measured, whichever kind it is; for this folder only.
//
// To add a kind: a header and a source of its own with
//   Expected<FoundReference> find_KIND(const Picture::Pixels&, const KINDReference&, const StopAsked&);
// and one line in measure.cpp (search_reference). A finder answers with a Refusal that says what is wrong and
// what to do; "no-reference" means "not seen", so that an automatic search goes on to the next kind.
#pragma once

#include <optional>
#include <string>
#include <tl/expected.hpp>
#include <vector>

#include "vision/measure.hpp"
#include "vision/picture_pixels.hpp"
#include "vision/plane.hpp"

namespace spile::vision {

template <class T>
using Expected = tl::expected<T, Refusal>;

[[nodiscard]] inline tl::unexpected<Refusal> refuse(std::string code, std::string reason) {
  return tl::unexpected<Refusal>(Refusal{std::move(code), std::move(reason)});
}

// A relative doubt about every length read off this reference, in one term of the budget.
struct ScaleDoubt {
  std::string term;  // "print scale", "disc's size" ...
  double rel_u = 0;
};

struct WeighedPlane {
  Plane plane;
  double weight = 0;
};

struct FoundReference {
  std::string kind;  // card, disc, rule, square, points
  Plane plane;       // of the reference's face, with its covariance in shares
  // A circle looks the same tilted either way: the plane it would lie in then. Whatever else is round in the
  // picture tells (settle_tilt).
  std::optional<Plane> other_plane;
  double log_odds = 0;  // for `plane` against the other one
  // Where the tilt is not known: planes that would do as well, with their weights (tilts.hpp). Empty: the
  // covariance says it all.
  std::vector<WeighedPlane> planes;
  // The hull lies this far below the face, at z = -height_mm.
  double height_mm = 0, u_height_mm = 0;
  std::vector<ScaleDoubt> scale_doubts;
  std::vector<PixelPoint> outline;  // closed polygon of what was taken as the reference, or two points
  std::vector<std::vector<PixelPoint>> covered;  // closed polygons in which no hole is looked for
  std::vector<PixelPoint> sheet;  // closed polygon: what a printed reference may hide of the hull, or none
  std::vector<std::string> warnings;  // for people: what makes this reference less than it could be
  double blur_px = 0;                 // standard deviation of the blur on its edges; 0: not measured
  bool incomplete = false;            // part of it is hidden or outside the picture
  bool by_hand = false;

  [[nodiscard]] double hull_z() const { return -height_mm; }
};

// The standard uncertainty, term by term, of a length computed from the reference. `value(plane, hull_z)`
// must be the length in mm; it is evaluated with the plane and the height moved (JCGM 100, 5.1.3). Scale
// doubts are added in proportion to the length.
struct LengthTerm {
  std::string term;
  double u = 0;  // mm
};
[[nodiscard]] std::vector<LengthTerm> reference_terms(
    const FoundReference& reference, const std::function<double(const Plane&, double)>& value);

}  // namespace spile::vision
