#include "gui/views/help.hpp"

#include <algorithm>
#include <array>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/keys.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

void key_row(const Ui& ui, const std::string& keys, std::string_view what) {
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  strong_text(ui, keys);
  ImGui::TableNextColumn();
  wrapped(what);
}

void begin_keys(const Ui& ui) {
  ImGui::TableSetupColumn("keys", ImGuiTableColumnFlags_WidthFixed, ui.px(118));
  ImGui::TableSetupColumn("what", ImGuiTableColumnFlags_WidthStretch);
}

void draw_menu_keys(const Ui& ui, Menu menu) {
  section(ui, title_of(menu));
  if (!ImGui::BeginTable(title_of(menu).data(), 2)) return;
  begin_keys(ui);
  for (const Action& a : all_actions())
    if (a.menu == menu && !a.shortcut.none()) key_row(ui, text_of(a.shortcut), a.label);
  ImGui::EndTable();
}

void draw_picture_keys(const Ui& ui) {
  section(ui, "In the photo");
  if (!ImGui::BeginTable("picture", 2)) return;
  begin_keys(ui);
  constexpr std::array<std::pair<const char*, const char*>, 9> kRows = {{
      {"Wheel", "Zoom around the cursor"},
      {"Drag", "Move the photo; with a tool in hand drag with the right button"},
      {"Arrows", "Move the photo; with a tool in hand move the cross"},
      {"Shift+arrows", "The same, finely"},
      {"Press", "With a tool in hand: place a point, or take hold of one and drag it"},
      {"Space", "The same at the cross, without a mouse"},
      {"Backspace", "Take the last point back"},
      {"Ctrl+Enter", "Record the result"},
      {"Esc", "Put the result and the points aside"},
  }};
  for (const auto& [keys, what] : kRows) key_row(ui, keys, what);
  ImGui::EndTable();
}

void draw_steps(const Ui& ui) {
  section(ui, "First steps");
  numbered(ui, 1, "Ctrl+Shift+N makes a logbook. F2: say what the vessel is.");
  numbered(ui, 2, "Ctrl+N adds an opening: tag, service, where it is.");
  numbered(ui, 3,
           "Drop its photos in, or Ctrl+I. The hole is measured by itself when a card or a rule lies "
           "beside it.");
  numbered(ui, 4, "Not where it should be? R, then drag the handles onto the rim. Ctrl+Enter records.");
  numbered(
      ui, 5,
      "Type what a caliper says: 14.8 mm, 5/8 in. Record condition, material, waterline, valve, backing.");
  numbered(ui, 6,
           "Read the verdicts, their reasons, and what would change them. Ctrl+Z takes anything back.");
}

}  // namespace

void draw_help(const Ui& ui) {
  if (!ui.desk.state().help) return;
  if (!ImGui::IsPopupOpen("help")) ImGui::OpenPopup("help");
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::SetNextWindowSize({std::min(ui.px(1080), screen.x * 0.95F), std::min(ui.px(720), screen.y * 0.93F)});
  if (!ImGui::BeginPopupModal(
          "help", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove))
    return;
  heading(ui, "Keys and first steps");
  hooks::note("help.title");
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - ui.px(96));
  if (button(ui, "help.close", "Close", true, "Esc")) ui.ask(ShowHelp{false});
  ImGui::BeginChild("help body");
  if (ImGui::BeginTable("columns", 2, ImGuiTableFlags_SizingStretchSame)) {
    ImGui::TableNextColumn();
    draw_steps(ui);
    draw_menu_keys(ui, Menu::Logbook);
    draw_menu_keys(ui, Menu::Edit);
    draw_menu_keys(ui, Menu::Opening);
    ImGui::TableNextColumn();
    draw_menu_keys(ui, Menu::Photo);
    draw_picture_keys(ui);
    draw_menu_keys(ui, Menu::View);
    ImGui::EndTable();
  }
  ImGui::EndChild();
  if (pressed(Key::Escape) || pressed(Key::F1)) ui.ask(ShowHelp{false});
  ImGui::EndPopup();
}

}  // namespace spile::gui
