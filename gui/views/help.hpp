// First steps, and every key there is: read from the table of actions.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_help(const Ui& ui);

}  // namespace spile::gui
