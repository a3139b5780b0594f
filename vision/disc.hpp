// A disc of known diameter (coin, washer) as the reference: the plane of its face, from its outline.
#pragma once

#include "vision/reference.hpp"

namespace spile::vision {

// Refusals: no-reference (none seen), ambiguous-reference (several, and no point says which),
// reference-too-small.
[[nodiscard]] Expected<FoundReference> find_disc(const Picture::Pixels& pixels, const DiscReference& disc,
                                                 const StopAsked& stop);

}  // namespace spile::vision
