// A kind of change as shape, word and colour at once: a crack is a zigzag, a stain a blot with a drip, a chip
// a bite out of a disc, anything else a cross. Drawn on a dark plate, as over a photo.
#pragma once

#include <string_view>

#include "gui/ui.hpp"

namespace spile::gui {

[[nodiscard]] Colour colour_of_change(const Palette& palette, std::string_view kind);
// Centred, `size` screen pixels across.
void draw_change_mark(const Ui& ui, ImDrawList& list, ImVec2 centre, float size, std::string_view kind);

}  // namespace spile::gui
