// Whether a round thing in a picture is the face of a disc rather than a hole; for this folder only.
#pragma once

#include "vision/round_search.hpp"

namespace spile::vision {

// 0..1: the face of a disc is one surface in one light, neither as black as a bore nor half wall and half
// what lies behind.
[[nodiscard]] double disc_likeness(const Picture::Pixels& pixels, const RoundSeen& round);

// Above this a round thing is taken for a disc without being asked about.
inline constexpr double kSurelyDisc = 0.45;

}  // namespace spile::vision
