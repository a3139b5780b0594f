// A bar between two panes that can be dragged.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

inline constexpr float kSplitter = 6;  // design pixels

// Draws the bar over `length` at the cursor; `share` of `room` belongs to the pane before it. Returns true
// while it is dragged, with `share` changed within 0.15..0.85.
bool splitter(const Ui& ui, const char* name, bool vertical, float length, float room, float& share);

}  // namespace spile::gui
