// A mushroom-head through-hull fitting seen from outside: the flange's outer diameter and the bore, each at
// its own height over the hull.
#pragma once

#include "vision/subject.hpp"

namespace spile::vision {

// Refuses with nothing-found when no flange is seen. The bore is left out when its edge is not.
[[nodiscard]] Expected<FittingSeen> measure_fitting(const Scene& scene);

}  // namespace spile::vision
