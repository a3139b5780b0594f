// Before a logbook is open: open one, make one, take up a recent one.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_start(const Ui& ui);

}  // namespace spile::gui
