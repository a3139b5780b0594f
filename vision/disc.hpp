// A disc of known diameter (coin, washer, a fitting's flange) as the reference: the plane of its face, from
// its outline.
#pragma once

#include <optional>

#include "vision/reference.hpp"

namespace spile::vision {

// Refusals: no-reference (none seen), ambiguous-reference (several, and no point says which),
// reference-too-small.
[[nodiscard]] Expected<FoundReference> find_disc(const Picture::Pixels& pixels, const DiscReference& disc,
                                                 const StopAsked& stop);

// What to say of a picture in which nothing of known size was found but a disc lies: "ambiguous-reference".
// Nothing when there is no disc, only holes.
[[nodiscard]] std::optional<Refusal> disc_of_unknown_size(const Picture::Pixels& pixels);

}  // namespace spile::vision
