// Where circles lying in the hull's plane may be: edges of a small copy of the picture vote, along their
// normals laid into the plane, for centres and radii. Cheap and generous: what it offers is looked at again
// elsewhere.
#pragma once

#include <vector>

#include "vision/reference.hpp"

namespace spile::vision {

struct CircleCandidate {
  Point2 centre_mm = Point2::Zero();  // in the plane frame, at the hull's height
  double radius_mm = 0;
  double score = 0;  // about the share of the circumference that voted, 0..1 and a little over
};

// Best first, at most `most`. Radii from about 1.2 % of the picture's longer side to just under half its
// shorter one.
[[nodiscard]] std::vector<CircleCandidate> search_circles(const Picture::Pixels& pixels, const Plane& plane,
                                                          double z,
                                                          const std::vector<std::vector<PixelPoint>>& covered,
                                                          std::size_t most);

}  // namespace spile::vision
