// A steel rule as the reference: found by its graduations (period and phase, never the numerals), straight or
// oblique, partly covered or glaring. Scale and tilt along the rule come from the spacing of the marks; the
// tilt across it from the direction of the marks and from a second row of them on the far edge.
#pragma once

#include "vision/reference.hpp"

namespace spile::vision {

// Refuses with no-reference when no row of even graduations is seen, ambiguous-reference when their unit
// cannot be told (millimetres, half millimetres or fractions of an inch), reference-too-small when too few of
// them are seen.
[[nodiscard]] Expected<FoundReference> find_rule(const Picture::Pixels& pixels, const RuleReference& request,
                                                 const StopAsked& stop);

}  // namespace spile::vision
