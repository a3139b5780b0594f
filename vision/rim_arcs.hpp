// A fitted rim looked at once more, arc by arc. What one normal cannot tell the mean of an arc can: where the
// hull's own coat is seen from the side below the rim and its lower border stands out more than the rim
// itself, and how far an over-exposed bore has spread over it.
#pragma once

#include "vision/rim.hpp"

namespace spile::vision {

// `blur_px` as measured on the reference's edges, 0 where unknown. The rim's fit, its uncertainty and
// `coat_mm` are replaced; it is left as it was where too few arcs can be read.
void refine_by_arcs(const RimPlace& place, double blur_px, double u_roundness, FineRim& rim);

}  // namespace spile::vision
