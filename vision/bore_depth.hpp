// The laminate's thickness seen through the bore: the far rim is the near rim's circle again, as much further
// from the camera as the laminate is thick, and where it shows that depth is the only unknown.
#pragma once

#include <optional>

#include "vision/rim.hpp"

namespace spile::vision {

struct BoreDepth {
  double mm = 0;
  double u_mm = 0;  // standard uncertainty: the bore may lean a little and its far edge be ragged
};

// Nothing where the far rim does not show, or more than one depth would do.
[[nodiscard]] std::optional<BoreDepth> bore_depth(const RimPlace& place, const FineRim& rim);

}  // namespace spile::vision
