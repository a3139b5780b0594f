// A through-hull fitting seen from outside, its head domed or flat: the flange's outer diameter and the bore,
// each at its own height over the hull. Or its nut, or a valve's, seen from inside: the size across flats.
#pragma once

#include "vision/subject.hpp"

namespace spile::vision {

// Refuses with nothing-found when neither a flange nor a hexagon is seen. The bore is left out when its edge
// is not.
[[nodiscard]] Expected<FittingSeen> measure_fitting(const Scene& scene);

// The fitting one of these round things is the flange or the bore of; nothing where they are plain holes.
[[nodiscard]] std::optional<FittingSeen> fitting_about(const Scene& scene,
                                                       const std::vector<Hole>& round_things);

}  // namespace spile::vision
