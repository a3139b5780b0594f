// The outline of a coin or washer lying on a plane, to a fraction of a pixel: the edge of its face all round,
// and where its side is seen also the foot of that side; for this folder only.
#pragma once

#include <vector>

#include "vision/ellipse.hpp"
#include "vision/ray_edges.hpp"

namespace spile::vision {

// Coins are 1.6 to 2.4 mm thick, washers for bolts of their size 1.5 to 2.5 mm; the edge is rounded, so that
// the widest place lies a little below the face (common practice).
inline constexpr double kDiscHeightMm = 1.9, kDiscHeightU = 0.3;

// What counts as the edge of a disc, rounded, lit from one side and shaded on the other: relative standard
// uncertainty of its diameter as seen, and of one axis of its outline beside the other.
[[nodiscard]] double disc_edge_doubt(double radius_px);

struct DiscEdge {
  double offset = 0;  // px along its ray, outwards
  double voice = 0;   // how clear and sharp it is
  Point2 px = Point2::Zero();
};

struct DiscRay {
  Point2 foot = Point2::Zero(), normal = Point2::Zero();
  std::vector<DiscEdge> edges;
};

// Every edge near the disc's outline, at full resolution, along the normals of a first guess of it.
struct DiscRays {
  std::vector<DiscRay> rays;
  double mm_per_px = 1;
  double blur_px = 0;  // of the sharper edges
};
[[nodiscard]] DiscRays disc_rays(const RimPlace& place, const Circle& about, double reach_px);

// How well a disc about `circle` at the height `z` in a plane goes through the edges: 0..1, and a little over
// where both its face's rim and the foot of its side, `height_mm` below, show.
[[nodiscard]] double agreement(const DiscRays& seen, const Plane& plane, const Circle& circle, double z,
                               double height_mm, double tolerance_px);

// The edges that lie on the face's rim, and where the side is seen those on its foot.
struct DiscPlaces {
  std::vector<Point2> rim, foot;
};
[[nodiscard]] DiscPlaces places_on(const DiscRays& seen, const Plane& plane, const Circle& circle, double z,
                                   double height_mm, double tolerance_px);

}  // namespace spile::vision
