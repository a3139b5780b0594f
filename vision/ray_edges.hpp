// All the edges round a circle, ray by ray, and the truest closed curve among them: a flange within old
// sealant, a coin's face above its own side and shadow; for this folder only.
#pragma once

#include <optional>
#include <vector>

#include "vision/rim.hpp"

namespace spile::vision {

struct Ray {
  double angle = 0;
  RimPlace::Foot foot;
  ColourProfile colours;        // empty outside the picture
  std::vector<EdgePeak> peaks;  // every step of colour along it
};

[[nodiscard]] std::vector<Ray> rays_round(const RimPlace& place, const Circle& circle, int directions,
                                          double reach_px);

// A curve about `centre` whose radius is a mean with first and second harmonics: an ellipse that is nearly a
// circle.
struct NearCircle {
  Point2 centre = Point2::Zero();
  double radius = 0, cos1 = 0, sin1 = 0, cos2 = 0, sin2 = 0;
  [[nodiscard]] double radius_at(double angle) const;
};

struct TrueCurve {
  NearCircle curve;
  double support = 0;      // share of the rays with an edge on it
  double scatter = 0;      // mm, robust
  double contrast = 0;     // median step, coded values
  std::vector<Point2> px;  // its places at full resolution
};

// Every ray has one voice, however loud its edge, and a place counts the more the nearer it lies to the curve
// (`tolerance`, mm). With `oval` zero only circles are tried; else harmonics up to that share of the radius.
// Nothing when fewer than a third of the rays agree.
[[nodiscard]] std::optional<TrueCurve> truest_curve(const RimPlace& place, const std::vector<Ray>& rays,
                                                    const Circle& about, double tolerance, double oval);

}  // namespace spile::vision
