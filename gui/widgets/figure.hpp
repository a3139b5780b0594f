// A figure of src/figures painted on the window, the same one the report prints: mm of paper become pixels,
// roles become the palette's inks.
#pragma once

#include "figures/figure.hpp"
#include "gui/ui.hpp"

namespace spile::gui {

// As wide as `width` screen pixels, at the cursor; its caption below it.
void draw_figure(const Ui& ui, const figures::Figure& figure, float width);
[[nodiscard]] Colour ink_of(const Palette& colours, figures::Role role);

}  // namespace spile::gui
