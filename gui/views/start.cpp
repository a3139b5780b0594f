#include "gui/views/start.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gui/actions.hpp"
#include "gui/chooser.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

void draw_recent(const Ui& ui) {
  const auto& recent = ui.desk.state().settings.recent;
  section(ui, "Recent logbooks");
  if (recent.empty()) soft_text(ui, "None yet.");
  for (std::size_t i = 0; i < recent.size(); ++i) {
    ImGui::PushID(static_cast<int>(i));
    const float left = ImGui::GetCursorPosX();
    if (ImGui::Selectable("##recent", false, 0, {0, ImGui::GetTextLineHeight() * 2 + ui.px(8)}))
      ui.ask(OpenLogbook{recent[i]});
    hooks::note(fmt::format("start.recent.{}", i));
    const ImVec2 min = ImGui::GetItemRectMin();
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const std::string name = recent[i].stem().string();
    list.AddText(ui.fonts.strong, ui.fonts.strong->FontSize, {min.x + ui.px(6), min.y + ui.px(4)},
                 ui.colours.ink.u32(), name.c_str());
    const std::string where = from_home(recent[i].parent_path());
    list.AddText(ui.fonts.small, ui.fonts.small->FontSize,
                 {min.x + ui.px(6), min.y + ui.px(5) + ImGui::GetTextLineHeight()}, ui.colours.soft.u32(),
                 where.c_str());
    ImGui::SetCursorPosX(left);
    ImGui::PopID();
  }
}

}  // namespace

void draw_start(const Ui& ui) {
  const ImVec2 room = ImGui::GetContentRegionAvail();
  const float width = std::min(ui.px(680), room.x - ui.px(40));
  ImGui::SetCursorPos({(room.x - width) / 2, std::max(ui.px(16), room.y * 0.08F)});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(28), ui.px(22)});
  ImGui::BeginChild("start", {width, std::min(room.y * 0.88F, ui.px(640))}, true);
  ImGui::PopStyleVar();
  ImGui::PushFont(ui.fonts.display);
  ImGui::TextUnformatted("Spile");
  ImGui::PopFont();
  soft_wrapped(ui, "Accounts for every opening through the hull of a small craft: measured, judged, kept.");
  ImGui::Dummy({0, ui.px(10)});
  if (main_button(ui, "start.create", "New logbook…", true, keys_of("logbook.new")))
    ui.ask(AskForFile{ChooserFor::CreateLogbook});
  ImGui::SameLine();
  if (button(ui, "start.open", "Open a logbook…", true, keys_of("logbook.open")))
    ui.ask(AskForFile{ChooserFor::OpenLogbook});
  soft_wrapped(ui, "A logbook is a folder that ends in .spile. It may also be dropped onto this window.");
  ImGui::Dummy({0, ui.px(8)});
  draw_recent(ui);
  section(ui, "How it goes");
  numbered(ui, 1, "Make a logbook and say what the vessel is.");
  numbered(ui, 2,
           "Photograph each hole with the printed card, a coin or a steel rule lying flat beside it. "
           "“spile card” prints the card at true size.");
  numbered(ui, 3, "Drop the photos in. Diameter and laminate are measured, each with its interval.");
  numbered(ui, 4, "Record what you see; read what the rules make of it, and why.");
  ImGui::Dummy({0, ui.px(6)});
  caution_box(
      ui,
      "A fitting below the waterline can sink the craft. Work on openings ashore, wear a mask when you "
      "sand or drill laminate, and ask a licensed surveyor where lives or insurance depend on the answer.",
      ui.colours.watch, MarkShape::Triangle);
  ImGui::EndChild();
}

}  // namespace spile::gui
