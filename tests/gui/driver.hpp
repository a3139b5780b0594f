// Drives the window as a person would, without a display: frames are run, the mouse moves, presses and drags,
// keys go down, and widgets are found by name where they were drawn. No pixels are made.
#pragma once

#include <imgui.h>

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "gui/keys.hpp"
#include "gui/shell.hpp"
#include "gui/test_hooks.hpp"

namespace spile::gui {

class Driver {
 public:
  struct Options {
    std::filesystem::path settings_file;
    float width = 1280, height = 800;
    float scale = 1;
    std::string now = "2026-04-12T09:30:00Z";
  };
  explicit Driver(Options options);
  ~Driver();
  Driver(const Driver&) = delete;
  Driver& operator=(const Driver&) = delete;

  Desk& desk() { return *desk_; }
  Shell& shell() { return *shell_; }
  [[nodiscard]] const Textures& textures() const { return textures_; }
  [[nodiscard]] const hooks::Registry& registry() const { return registry_; }
  [[nodiscard]] const DeskState& state() const { return desk_->state(); }
  [[nodiscard]] const app::Snapshot& logbook() const;
  [[nodiscard]] const app::OpeningView& opening(std::string_view tag) const;

  void frame(int count = 1);
  // Frames and jobs until nothing moves any more.
  void settle();

  [[nodiscard]] bool sees(std::string_view name) const;   // drawn in the last frame, anywhere
  [[nodiscard]] bool reads(std::string_view text) const;  // the whole text, in the last frame
  [[nodiscard]] bool enabled(std::string_view name) const;
  [[nodiscard]] const hooks::Item& item(std::string_view name) const;  // fails the test when it is not there
  [[nodiscard]] ImVec2 middle_of(std::string_view name) const;

  void move_to(ImVec2 point);
  void press();
  void release();
  void click(ImVec2 point);
  void click(std::string_view name);  // scrolls to it first
  void double_click(std::string_view name);
  void drag(ImVec2 from, ImVec2 to, int steps = 6);
  void wheel(ImVec2 at, float ticks);
  // Turns the wheel over the pane the widget is in until it is in sight.
  void scroll_to(std::string_view name);

  void key(Key key, bool ctrl = false, bool shift = false);
  void write(std::string_view text);                          // into what has the keyboard
  void fill(std::string_view name, std::string_view text);    // click, select all, type, Enter
  void choose(std::string_view field, std::string_view key);  // from a list that is pulled down
  void menu(std::string_view menu, std::string_view action);
  void drop(std::vector<std::filesystem::path> files, ImVec2 at);

 private:
  void tap(int code, bool ctrl, bool shift);

  Options options_;
  NoTextures textures_;
  hooks::Registry registry_;
  std::unique_ptr<Desk> desk_;
  std::unique_ptr<Shell> shell_;
};

}  // namespace spile::gui
