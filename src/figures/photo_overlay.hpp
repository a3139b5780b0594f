// What was measured, drawn over its photo: the reference, the rim or the lines found, and the value beside
// them.
#pragma once

#include <span>

#include "figures/figure.hpp"
#include "model/measurement.hpp"

namespace spile::figures {

// `width_mm`: how wide the photo of `width_px` x `height_px` (upright) is shown. Measurements without a trace
// are left out; those that share a trace share one label.
[[nodiscard]] Figure photo_overlay(int width_px, int height_px,
                                   std::span<const model::Measurement> measurements, double width_mm);

// The smallest box round everything the measurements rest on, with `margin` of its longer side around it, in
// pixels of the photo and inside it; the whole photo when there is nothing. For showing the part that
// matters.
struct PixelBox {
  double left = 0, top = 0, width = 0, height = 0;
};
[[nodiscard]] PixelBox part_that_matters(int width_px, int height_px,
                                         std::span<const model::Measurement> measurements, double margin);

}  // namespace spile::figures
