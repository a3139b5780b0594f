// Where the boundaries of a cut face's layers lie, from many places along them: straight and parallel on a
// sawn panel, bent by perspective on a plug, whose side is a cylinder; for this folder only.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "vision/plane.hpp"

namespace spile::vision {

// One place of one boundary: across the layers and along them, mm in the plane of the reference, in a frame
// whose first axis points from the first boundary to the last.
struct BoundaryPoint {
  std::size_t boundary = 0;
  double u = 0, v = 0;
  double doubt = 0;  // standard uncertainty the whole boundary shares, mm
};

struct CutFace {
  std::vector<double> positions;  // of the boundaries, mm, square to them, in the plane of the reference
  std::vector<double> u;  // standard uncertainty of each, from its own scatter and its points' common doubt
  double u_stretch = 0;   // relative standard uncertainty all their distances share: of a plug's shape
  double lean = 0;        // du / dv of the boundaries
  std::optional<double> plug_radius_mm;  // the face is the side of a plug
  double crest = 0;                      // of a plug: where along the boundaries it touches the plane
  double scatter_mm = 0;                 // of the places about the boundaries
  std::vector<double> misses;            // of each place, mm across
};

// `eye` is the camera in the same frame (u, v, height over the plane). Nothing when there are too few points
// on any boundary.
[[nodiscard]] std::optional<CutFace> fit_cut_face(const std::vector<BoundaryPoint>& points,
                                                  std::size_t boundaries, const Point3& eye);

}  // namespace spile::vision
