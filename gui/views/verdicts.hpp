// What the rules say of the selected opening, each answer with its reasons, inputs, source and caution.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_verdicts(const Ui& ui);

}  // namespace spile::gui
