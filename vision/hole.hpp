// Holes (and other round things) in the plane of a reference: found, fitted, and given their interval.
#pragma once

#include <vector>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

// All openings that can be made out beside the reference, largest first; with points in the request, the
// round thing at each of them. `held` becomes the reference with what the rims' roundness adds to it.
// Refusals: nothing-found, too-blurred, reference-cropped, reference-too-small.
[[nodiscard]] Expected<std::vector<Hole>> measure_holes(const Scene& scene, FoundReference& held);

}  // namespace spile::vision
