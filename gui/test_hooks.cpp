#include "gui/test_hooks.hpp"

#include <imgui_internal.h>

namespace spile::gui::hooks {

namespace {
// The context's user data is the one place that belongs to the program and not to the library: no statics.
Registry* registry() {
  return static_cast<Registry*>(ImGui::GetIO().UserData);
}

Item here(ImVec2 min, ImVec2 max) {
  const ImGuiContext& context = *ImGui::GetCurrentContext();
  const ImRect clip = context.CurrentWindow->ClipRect;
  Item item;
  item.min = min;
  item.max = max;
  item.clip_min = clip.Min;
  item.clip_max = clip.Max;
  item.disabled = (context.CurrentItemFlags & ImGuiItemFlags_Disabled) != 0;
  item.frame = context.FrameCount;
  return item;
}
}  // namespace

const Item* Registry::find(std::string_view name) const {
  const auto hit = items_.find(name);
  if (hit == items_.end()) return nullptr;
  // A test looks between two frames: what counts is the frame that has just been drawn.
  return hit->second.frame == ImGui::GetFrameCount() ? &hit->second : nullptr;
}

bool Registry::said(std::string_view text) const {
  const auto hit = said_.find(text);
  return hit != said_.end() && hit->second == ImGui::GetFrameCount();
}

void listen(Registry* registry) {
  ImGui::GetIO().UserData = registry;
}

void say(std::string_view text) {
  if (Registry* listener = registry()) listener->say(text, ImGui::GetFrameCount());
}

void note(std::string_view name) {
  Registry* listener = registry();
  if (!listener) return;
  const ImGuiLastItemData& last = ImGui::GetCurrentContext()->LastItemData;
  Item item = here(last.Rect.Min, last.Rect.Max);
  item.id = last.ID;
  item.disabled = (last.InFlags & ImGuiItemFlags_Disabled) != 0;
  listener->put(name, item);
}

void note_place(std::string_view name, ImVec2 min, ImVec2 max) {
  if (Registry* listener = registry()) listener->put(name, here(min, max));
}

}  // namespace spile::gui::hooks
