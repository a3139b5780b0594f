// A laminate's cut edge (a sawn panel, or the plug a hole saw leaves) lying in the plane of the reference:
// total thickness between the two outer faces, the layers in between, and whether it is a sandwich.
#pragma once

#include "vision/subject.hpp"

namespace spile::vision {

// With Request::edge_by_hand the two outer faces are taken as placed (moved to the nearest edge when asked
// for) and the layers are read in between; otherwise the cut face is looked for beside the reference. Refuses
// with nothing-found when no cut face is seen.
[[nodiscard]] Expected<Edge> measure_edge(const Scene& scene);

}  // namespace spile::vision
