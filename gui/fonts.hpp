// The typeface: Roboto for its even figures, DejaVu Sans for the signs it lacks (diameter, arrows, tick,
// warning). Rasterised by FreeType at the size it is shown in; rebuilt when the scale changes.
#pragma once

#include <imgui.h>

namespace spile::gui {

struct Fonts {
  ImFont* body = nullptr;     // 17
  ImFont* strong = nullptr;   // 17, medium: figures and what matters in a line
  ImFont* small = nullptr;    // 15: labels, second thoughts
  ImFont* heading = nullptr;  // 20, medium: head of a pane
  ImFont* display = nullptr;  // 32, bold: the start view, the measured value
};

// Fills the current context's atlas for `scale` (1 = 96 dpi). The texture is made by whoever draws.
[[nodiscard]] Fonts build_fonts(float scale);

}  // namespace spile::gui
