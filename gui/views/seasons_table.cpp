// Openings by surveys, newest first; only the cells in sight are drawn.
#include <fmt/format.h>

#include <algorithm>

#include "app/wording.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/seasons.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"
#include "model/names.hpp"

namespace spile::gui {

namespace {

constexpr int kFixedColumns = 4;
// A table of Dear ImGui holds 64 columns at most.
constexpr std::size_t kMostSeasons = 60;

struct CellLook {
  MarkShape shape;
  const char* word;
  Tone tone;
};

CellLook look_of(const Ui& ui, const app::SeasonCell& cell) {
  const auto& c = ui.colours;
  if (cell.seen == model::Seen::NotLookedAt) return {MarkShape::Dash, "not seen", c.unknown};
  if (cell.seen == model::Seen::ToBeConfirmed) return {MarkShape::Ring, "to confirm", c.unknown};
  switch (cell.condition) {
    case model::Condition::Sound:
      return {MarkShape::Disc, "sound", c.good};
    case model::Condition::Worn:
      return {MarkShape::Square, "worn", c.watch};
    case model::Condition::Poor:
      return {MarkShape::Triangle, "poor", c.act};
    case model::Condition::Failed:
      return {MarkShape::Triangle, "failed", c.act};
    case model::Condition::Unknown:
      break;
  }
  return {MarkShape::Ring, "not graded", c.unknown};
}

std::string reasons_of(const app::SeasonCell& cell, const std::string& tag, const model::Survey& survey) {
  std::string text = fmt::format("{}, {}", tag, survey.date);
  if (cell.condition != model::Condition::Unknown) {
    text += fmt::format(": {}", app::lower(model::label(cell.condition)));
    if (cell.seen == model::Seen::ToBeConfirmed) text += ", carried over and to be confirmed";
  }
  for (const auto& reason : cell.reasons) text += "\n" + reason;
  return text;
}

void draw_cell(const Ui& ui, const app::SeasonRow& row, const app::SeasonCell& cell,
               const model::Survey& survey) {
  const CellLook look = look_of(ui, cell);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = ImGui::GetTextLineHeight();
  const ImVec2 size = {ImGui::GetContentRegionAvail().x, height};
  ImGui::PushID(static_cast<int>(survey.id.value));
  if (ImGui::InvisibleButton("cell", size)) {
    if (ui.desk.logbook()->survey != survey.id) ui.ask(ChooseSurvey{survey.id});
    ui.ask(SelectOpening{row.opening});
    ui.ask(ShowPage{Page::Desk});
  }
  ImGui::PopID();
  if (ImGui::IsItemHovered()) hint(reasons_of(cell, row.tag, survey));
  hooks::note(fmt::format("season.{}.{}", row.tag, survey.date));
  ImDrawList& list = *ImGui::GetWindowDrawList();
  draw_mark(list, {at.x + ui.px(6), at.y + height / 2}, ui.px(11), look.shape, look.tone.ink.u32());
  list.AddText({at.x + ui.px(18), at.y}, look.tone.ink.u32(), look.word);
}

std::string due_word(const app::SeasonRow& row) {
  if (row.due.empty()) return "–";
  const auto& first = row.due.front().task;
  const char* what = first.task == rules::Task::Look        ? "look"
                     : first.task == rules::Task::WorkValve ? "valve"
                                                            : "renew";
  if (first.state != rules::DueState::Overdue)
    return fmt::format("{} by {}", what, units::print_date(*first.due).substr(0, 7));
  return first.due ? fmt::format("{} overdue", what) : fmt::format("{} never done", what);
}

std::string due_reasons(const app::SeasonRow& row) {
  std::string text;
  for (const auto& item : row.due)
    text += fmt::format("{}{}: {}, {}", text.empty() ? "" : "\n", rules::label(item.task.task), item.when,
                        item.why);
  return text;
}

void draw_due_cell(const Ui& ui, const app::SeasonRow& row) {
  const bool over = !row.due.empty() && row.due.front().task.state == rules::DueState::Overdue;
  if (over) ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
  ImGui::TextUnformatted(due_word(row).c_str());
  if (over) ImGui::PopStyleColor();
  if (!row.due.empty()) hint(due_reasons(row));
  hooks::note("season.due." + row.tag);
}

void draw_row(const Ui& ui, const app::SeasonRow& row, const std::vector<model::Survey>& surveys) {
  ImGui::TableNextRow();
  ImGui::PushID(static_cast<int>(row.opening.value));
  if (ImGui::TableNextColumn()) {
    if (link(ui, "season.open." + row.tag, row.tag.c_str())) {
      ui.ask(SelectOpening{row.opening});
      ui.ask(ShowPage{Page::Desk});
    }
  }
  if (ImGui::TableNextColumn())
    cut_text(row.service.empty() ? "–" : row.service, ImGui::GetContentRegionAvail().x);
  if (ImGui::TableNextColumn()) standing_mark(ui, row.standing);
  if (ImGui::TableNextColumn()) draw_due_cell(ui, row);
  const std::size_t oldest = surveys.size() - std::min(surveys.size(), kMostSeasons);
  for (std::size_t i = surveys.size(); i-- > oldest;)
    if (ImGui::TableNextColumn()) draw_cell(ui, row, row.cells[i], surveys[i]);
  ImGui::PopID();
}

}  // namespace

void SeasonsView::draw_table(const Ui& ui) const {
  const auto& surveys = ui.desk.logbook()->surveys;
  if (rows_.empty()) return soft_wrapped(ui, "No opening is recorded yet.");
  soft_wrapped(ui,
               "The most urgent first, the newest season first. Rest the mouse on a cell for its reasons.");
  const std::size_t shown = std::min(surveys.size(), kMostSeasons);
  const ImGuiTableFlags flags = ImGuiTableFlags_ScrollX | ImGuiTableFlags_ScrollY |
                                ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingFixedFit;
  if (!ImGui::BeginTable("seasons", kFixedColumns + static_cast<int>(shown), flags)) return;
  ImGui::TableSetupScrollFreeze(1, 1);
  ImGui::TableSetupColumn("Tag", 0, ui.px(60));
  ImGui::TableSetupColumn("Service", 0, ui.px(190));
  ImGui::TableSetupColumn("Verdict", 0, ui.px(96));
  ImGui::TableSetupColumn("Due", 0, ui.px(124));
  for (std::size_t i = 0; i < shown; ++i)
    ImGui::TableSetupColumn(surveys[surveys.size() - 1 - i].date.c_str(), 0, ui.px(100));
  ImGui::TableHeadersRow();
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(rows_.size()));
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i)
      draw_row(ui, rows_[static_cast<std::size_t>(i)], surveys);
  ImGui::EndTable();
}

}  // namespace spile::gui
