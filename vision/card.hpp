// The printed reference card: four square markers on a rectangle.
// Plane frame: mm, origin at the middle of the rectangle, x to the right and y up as the card is read.
#pragma once

#include "vision/reference.hpp"

namespace spile::vision {

// Refusals: no-reference (no marker seen), ambiguous-reference (the markers do not fit the stated sizes),
// reference-too-small.
[[nodiscard]] Expected<FoundReference> find_card(const Picture::Pixels& pixels, const CardReference& card,
                                                 const StopAsked& stop);

}  // namespace spile::vision
