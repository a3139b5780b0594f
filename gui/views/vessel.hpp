// The craft the logbook is about, and the surveys made of her.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_vessel(const Ui& ui);
void draw_surveys(const Ui& ui);

}  // namespace spile::gui
