// The reference a request asks for, found in a picture and checked against a second one where one is asked
// for; for this folder only.
#pragma once

#include "vision/reference_check.hpp"

namespace spile::vision {

// Refusals: those of the kind asked for; no-reference when any kind would do and none was seen.
[[nodiscard]] Expected<ReferenceCheck> search_reference(const Picture::Pixels& pixels, const Request& request,
                                                        const StopAsked& stop);

}  // namespace spile::vision
