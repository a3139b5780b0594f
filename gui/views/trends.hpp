// The selected opening over the seasons: each quantity and grade with its plot, the verdict in words, and
// when a limit would be reached.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_trends(const Ui& ui);

}  // namespace spile::gui
