// A state as shape, word and colour at once.
#pragma once

#include <string_view>

#include "gui/ui.hpp"
#include "rules/verdict.hpp"

namespace spile::gui {

// The shape alone, centred, `size` screen pixels across.
void draw_mark(ImDrawList& list, ImVec2 centre, float size, MarkShape shape, ImU32 colour);

// Shape and word on the line, in the state's ink.
void standing_mark(const Ui& ui, rules::Standing standing);
// The same on its tinted ground, as a tag.
void standing_tag(const Ui& ui, rules::Standing standing, std::string_view word);

}  // namespace spile::gui
