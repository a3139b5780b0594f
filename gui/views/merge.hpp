// The page on which another person's copy of the logbook is brought in.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_merge(const Ui& ui);

}  // namespace spile::gui
