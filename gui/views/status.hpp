// The foot of the window: running work with progress and cancel; and what there is to say.
#pragma once

#include "gui/ui.hpp"

namespace spile::gui {

void draw_status(const Ui& ui);
// Messages over the lower right of the window; problems stay until they are dismissed.
void draw_messages(const Ui& ui);
// Asked when a job is still running.
void draw_quit_question(const Ui& ui);

}  // namespace spile::gui
