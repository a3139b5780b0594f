// A cut edge between the two lines a person placed on its faces.
#pragma once

#include "vision/subject.hpp"

namespace spile::vision {

// Request::edge_by_hand holds the four ends. With `snap_to_edges` each line is moved to the edge near it,
// where there is one. Refusals: nothing-found (the lines lie on one another), too-tilted.
[[nodiscard]] Expected<Edge> edge_by_hand(const Scene& scene);

}  // namespace spile::vision
