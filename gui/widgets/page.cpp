#include "gui/widgets/page.hpp"

#include <algorithm>

namespace spile::gui {

bool begin_page(const Ui& ui, const char* id) {
  const ImVec2 room = ImGui::GetContentRegionAvail();
  const float width = std::min(ui.px(760), room.x);
  ImGui::SetCursorPosX(ImGui::GetCursorPosX() + (room.x - width) / 2);
  return ImGui::BeginChild(id, {width, room.y}, true, ImGuiWindowFlags_AlwaysUseWindowPadding);
}

}  // namespace spile::gui
