// Where each named widget was drawn last and which texts stood in the window, so that a test (or a screenshot
// script) can find them as a person would: by name, on screen, enabled or not. Costs one map write per named
// widget and text; nothing when nobody listens.
#pragma once

#include <imgui.h>

#include <map>
#include <string>
#include <string_view>

namespace spile::gui::hooks {

struct Item {
  ImGuiID id = 0;
  ImVec2 min, max;            // of the widget, screen pixels
  ImVec2 clip_min, clip_max;  // of the window it sits in: outside of this it cannot be clicked
  bool disabled = false;
  int frame = -1;  // the frame it was last drawn in
};

class Registry {
 public:
  void put(std::string_view name, const Item& item) { items_[std::string(name)] = item; }
  // Null when it was not drawn in the last frame.
  [[nodiscard]] const Item* find(std::string_view name) const;
  [[nodiscard]] const std::map<std::string, Item, std::less<>>& items() const { return items_; }
  void say(std::string_view text, int frame) { said_[std::string(text)] = frame; }
  [[nodiscard]] bool said(std::string_view text) const;  // in the last frame, in sight or scrolled out of it

 private:
  std::map<std::string, int, std::less<>> said_;  // the frame it was last said in
  std::map<std::string, Item, std::less<>> items_;
};

// Makes `registry` listen to the current ImGui context; null stops it.
void listen(Registry* registry);

// A text put down in the window, whole.
void say(std::string_view text);
// Names the widget submitted last.
void note(std::string_view name);
// Names a place inside a canvas: a handle, a mark.
void note_place(std::string_view name, ImVec2 min, ImVec2 max);

}  // namespace spile::gui::hooks
