// Places of a cut face's boundaries at full resolution, all along it; for this folder only.
#pragma once

#include "vision/cut_face.hpp"
#include "vision/face_search.hpp"

namespace spile::vision {

[[nodiscard]] std::vector<BoundaryPoint> boundary_points(const Scene& scene, const FoundFace& found);

}  // namespace spile::vision
