#include "gui/widgets/splitter.hpp"

#include <algorithm>

#include "gui/test_hooks.hpp"

namespace spile::gui {

bool splitter(const Ui& ui, const char* name, bool vertical, float length, float room, float& share) {
  const float thick = ui.px(kSplitter);
  const ImVec2 size = vertical ? ImVec2(thick, length) : ImVec2(length, thick);
  ImGui::InvisibleButton(name, size);
  hooks::note(name);
  const bool active = ImGui::IsItemActive();
  if (active || ImGui::IsItemHovered()) {
    ImGui::SetMouseCursor(vertical ? ImGuiMouseCursor_ResizeEW : ImGuiMouseCursor_ResizeNS);
    const ImVec2 a = ImGui::GetItemRectMin();
    const ImVec2 b = ImGui::GetItemRectMax();
    const float m = thick / 3;
    ImGui::GetWindowDrawList()->AddRectFilled({a.x + (vertical ? m : 0), a.y + (vertical ? 0 : m)},
                                              {b.x - (vertical ? m : 0), b.y - (vertical ? 0 : m)},
                                              ui.colours.accent.u32());
  }
  if (!active || room <= 0) return active;
  const ImVec2 delta = ImGui::GetIO().MouseDelta;
  share = std::clamp(share + (vertical ? delta.x : delta.y) / room, 0.15F, 0.85F);
  return true;
}

}  // namespace spile::gui
