// How well a person places a point in a photo, as a standard uncertainty in its pixels; for this folder only.
#pragma once

#include "vision/measure.hpp"

namespace spile::vision {

// What the request says of its points, else what a hand does in a window that shows the whole photo: about a
// thousandth of its longer side, and not better than four pixels (simulated placings, standard deviation one
// to six pixels).
[[nodiscard]] double placing_px(const Request& request, const PictureInfo& info);

}  // namespace spile::vision
