// How sharp a picture is at its sharpest, measured on its own strongest edges.
#pragma once

#include <optional>

#include "vision/picture_pixels.hpp"

namespace spile::vision {

// Standard deviation of the blur, px, of the sharpest tenth of some two hundred strong edges spread over the
// picture; nothing when there are too few edges to tell.
[[nodiscard]] std::optional<double> sharpest_blur(const Picture::Pixels& pixels);

// Above this a picture is too blurred to measure in: two thousandths of its longer side, but at least 3 px.
[[nodiscard]] double largest_blur(const Picture::Pixels& pixels);

}  // namespace spile::vision
