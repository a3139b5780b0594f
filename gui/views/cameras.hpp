// Calibrated lenses: how to calibrate one, what the last calibration gave, and those that are kept.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_cameras(const Ui& ui);

}  // namespace spile::gui
