// A flat rectangle of known size: a bank card (ISO/IEC 7810 ID-1, 85.60 x 53.98 mm, rounded corners, 0.76 mm
// thick), a sheet of the A series, a square. Its four sides are traced and meet in its corners, so that
// rounded or dog-eared ones do not matter. Plane frame: mm, origin at its middle, x along its width, y up as
// it is read.
#pragma once

#include "vision/reference.hpp"

namespace spile::vision {

// Found by itself as a bright or dark quadrilateral, at the point when one is given, or by its four corners
// as placed by a person (to `placed_px`; the sides are then looked for nearby). Which side is the width is
// told by the perspective. Refusals: no-reference, reference-cropped, ambiguous-reference (several that fit;
// width and height fit either way), reference-too-small.
[[nodiscard]] Expected<FoundReference> find_sheet(const Picture::Pixels& pixels, const SquareReference& sheet,
                                                  double placed_px, const StopAsked& stop);

}  // namespace spile::vision
