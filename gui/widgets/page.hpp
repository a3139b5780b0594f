// A page in the middle of the window, wide enough to read and no wider; ends with ImGui::EndChild().
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

bool begin_page(const Ui& ui, const char* id);

}  // namespace spile::gui
