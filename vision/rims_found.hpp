// The near rims of the openings in a picture, one for each; for this folder only.
#pragma once

#include <vector>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

constexpr double kRoundnessU = 0.012;  // of the radius: holes drilled by hand are oval by a per cent or two

// Those that can be made out beside the reference, largest first; scene.request.at is left aside.
[[nodiscard]] std::vector<FineRim> found_rims(const Scene& scene, const RimPlace& place);

// For each point in scene.request.at the rim about it, whatever its size, where there is one. Of a disc the
// outermost.
[[nodiscard]] std::vector<FineRim> rims_asked_for(const Scene& scene, const RimPlace& place);

}  // namespace spile::vision
