// How much of a picture shows nothing because it is burnt out or black.
#pragma once

#include <string>

#include "vision/picture_pixels.hpp"

namespace spile::vision {

// Shares of the picture, 0 to 1, area-averaged over 4 x 4 pixels: a glint of a pixel or two hides nothing.
struct Exposure {
  double burnt_out = 0;  // coded luma of 250 and more
  double black = 0;      // of 8 and less
};
[[nodiscard]] Exposure exposure_of(const Picture::Pixels& pixels);

// What to do about it, as a sentence to add to a refusal; empty where light was not the trouble.
[[nodiscard]] std::string light_advice(const Exposure& exposure);

}  // namespace spile::vision
