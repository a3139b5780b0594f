// The hull's own surface beside the cut, seen where the camera looks past an outer face: told from the face;
// for this folder only.
#pragma once

#include "vision/cut_face.hpp"
#include "vision/face_search.hpp"

namespace spile::vision {

// Moves an outer boundary (the first or the last) from the far edge of a visible side to the near one, and
// widens its uncertainty where the two cannot be told apart. `eye` as in eye_in_band.
void settle_side(const FoundFace& found, CutFace& face, bool first, const Point3& eye);

}  // namespace spile::vision
