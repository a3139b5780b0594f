// The whole window: menus, head, panes and splitters, foot. Draws from the desk, then has it carry out what
// was asked for. Needs an ImGui context and nothing else; runs without a display.
#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <vector>

#include "gui/desk.hpp"
#include "gui/drafts.hpp"
#include "gui/ui.hpp"
#include "gui/views/bench.hpp"
#include "gui/views/chooser.hpp"
#include "gui/views/compare.hpp"
#include "gui/views/openings.hpp"
#include "gui/views/record.hpp"
#include "gui/views/seasons.hpp"
#include "gui/views/water.hpp"

namespace spile::gui {

class Shell {
 public:
  Shell(Desk& desk, Textures& textures) : desk_(desk), textures_(textures) {}

  // Sets fonts and style where they changed. `display_scale` is the display's own; returns true when the font
  // texture has to be made anew.
  bool prepare(float display_scale);
  // Between ImGui::NewFrame and Render.
  void frame();
  // A drop on the window, at the mouse.
  void drop(std::vector<std::filesystem::path> files);
  // Commits what is being typed and asks to quit.
  void ask_to_close();

  [[nodiscard]] float scale() const { return scale_; }
  [[nodiscard]] std::optional<std::chrono::steady_clock::time_point> next_alarm() const;

 private:
  void draw_window(const Ui& ui);
  void draw_menus(const Ui& ui);
  void draw_head(const Ui& ui);
  void draw_desk(const Ui& ui);
  void draw_left(const Ui& ui, ImVec2 size);
  void draw_right(const Ui& ui, ImVec2 size);
  void draw_beside(const Ui& ui);
  void carry_out();
  void take_pictures();
  void command(const ViewCommand& command);
  void use_keys(const Ui& ui);

  Desk& desk_;
  Textures& textures_;
  Fonts fonts_;
  Drafts drafts_;
  Intents intents_;
  std::string focus_;
  std::optional<Pane> focus_pane_;
  bool something_open_ = false;  // a menu, a list or a question, in the frame before
  float scale_ = 0;
  std::optional<Shade> shade_;
  std::uint64_t logbook_ = 0;  // whose pictures the textures are
  // Where the splitters stand while one is being dragged.
  std::optional<SetShares> dragged_;

  OpeningsView openings_;
  BenchView bench_;
  RecordView record_;
  WaterPane water_;
  SeasonsView seasons_;
  ChooserView chooser_;
  CompareView compare_;
};

}  // namespace spile::gui
