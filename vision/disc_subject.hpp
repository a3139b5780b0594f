// Coins, washers and other discs as what is measured: their faces lie over the hull as high as a disc
// reference's own face does.
#pragma once

#include <vector>

#include "vision/subject.hpp"

namespace spile::vision {

// The outer contour of the disc at each point of the request, largest first; without points, of every disc
// made out beside the reference. `held` becomes the reference with what the discs' roundness adds to it.
// Refusals: nothing-found, reference-too-small.
[[nodiscard]] Expected<std::vector<Hole>> measure_discs(const Scene& scene, FoundReference& held);

}  // namespace spile::vision
