// Text in its roles. Small helpers, so that every view speaks in the same voice.
#pragma once

#include <string_view>

#include "gui/ui.hpp"

namespace spile::gui {

void soft_text(const Ui& ui, std::string_view text);     // second thoughts, on one line
void soft_wrapped(const Ui& ui, std::string_view text);  // second thoughts, wrapped to the pane
void wrapped(std::string_view text);
void numbered(const Ui& ui, int number, std::string_view text);  // a step of a list, hanging
void strong_text(const Ui& ui, std::string_view text);
void heading(const Ui& ui, std::string_view text);
// Beside a heading, on the same base line; at `right` from the pane's right edge when it is given.
void beside_heading(const Ui& ui, float right = 0);
// A heading inside a pane, with a line to the right of it.
void section(const Ui& ui, std::string_view text);
// A note on a tinted ground with a warning sign: where someone could be hurt, or something went wrong.
void caution_box(const Ui& ui, std::string_view text, Tone tone, MarkShape shape);
// The text cut to `width` with an ellipsis, the whole of it on hover.
void cut_text(std::string_view text, float width);
// The same over several lines.
void cut_wrapped(std::string_view text, float width, int lines);
[[nodiscard]] ImVec2 size_of(std::string_view text);

// A plain button with a name for tests; `shortcut` is shown behind the label in soft ink.
bool button(const Ui& ui, std::string_view name, const char* label, bool enabled = true,
            std::string_view shortcut = {});
// The one that is meant to be pressed.
bool main_button(const Ui& ui, std::string_view name, const char* label, bool enabled = true,
                 std::string_view shortcut = {});
// A button that looks like a word.
bool link(const Ui& ui, std::string_view name, const char* label);
void hint(std::string_view text);  // shown when the mouse rests on the item before

}  // namespace spile::gui
