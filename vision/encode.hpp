// Pixels as a JPEG, for pages and screens; never for measuring.
#pragma once

#include <cstdint>
#include <vector>

#include "outcome/outcome.hpp"
#include "vision/picture.hpp"

namespace spile::vision {

// Baseline, without metadata; `quality` 1..100. Errors: BadInput for a picture without pixels, Internal.
[[nodiscard]] Result<std::vector<std::uint8_t>> encode_jpeg(const Rgba& picture, int quality);

}  // namespace spile::vision
