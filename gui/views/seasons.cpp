#include "gui/views/seasons.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "app/wording.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

using rules::DueState;

void to_opening(const Ui& ui, model::OpeningId opening) {
  ui.ask(SelectOpening{opening});
  ui.ask(ShowPage{Page::Desk});
}

void due_group(const Ui& ui, const std::vector<app::DueItem>& items, DueState state, const char* title) {
  const auto in_group = [state](const app::DueItem& item) { return item.task.state == state; };
  const auto count = std::count_if(items.begin(), items.end(), in_group);
  if (count == 0) return;
  section(ui, fmt::format("{}: {}", title, count));
  const ImGuiTableFlags flags = ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH;
  if (!ImGui::BeginTable(title, 4, flags)) return;
  ImGui::TableSetupColumn("tag", 0, 0.5F);
  ImGui::TableSetupColumn("what", 0, 1.7F);
  ImGui::TableSetupColumn("when", 0, 1.5F);
  ImGui::TableSetupColumn("why", 0, 2.6F);
  for (const auto& item : items) {
    if (!in_group(item)) continue;
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    const std::string name = fmt::format("due.{}.{}", item.tag, rules::key(item.task.task));
    if (link(ui, name, item.tag.c_str())) to_opening(ui, item.opening);
    hint(item.service);
    ImGui::TableNextColumn();
    cut_text(rules::label(item.task.task), ImGui::GetContentRegionAvail().x);
    ImGui::TableNextColumn();
    cut_text(item.when, ImGui::GetContentRegionAvail().x);
    ImGui::TableNextColumn();
    ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
    cut_text(item.why, ImGui::GetContentRegionAvail().x);
    ImGui::PopStyleColor();
  }
  ImGui::EndTable();
}

struct SeenLook {
  MarkShape shape;
  const char* word;
};

SeenLook look_of(model::Seen seen) {
  switch (seen) {
    case model::Seen::Looked:
      return {MarkShape::Disc, "looked at"};
    case model::Seen::ToBeConfirmed:
      return {MarkShape::Ring, "to be confirmed"};
    case model::Seen::NotLookedAt:
      break;
  }
  return {MarkShape::Dash, "not looked at"};
}

void seen_mark(const Ui& ui, model::Seen seen) {
  const auto look = look_of(seen);
  const Colour ink = seen == model::Seen::Looked ? ui.colours.good.ink : ui.colours.unknown.ink;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = ImGui::GetTextLineHeight();
  draw_mark(*ImGui::GetWindowDrawList(), {at.x + ui.px(6), at.y + height / 2}, ui.px(11), look.shape,
            ink.u32());
  ImGui::Dummy({ui.px(13), height});
  ImGui::SameLine(0, ui.px(5));
  ImGui::TextUnformatted(look.word);
}

void walk_row(const Ui& ui, const app::CheckItem& item) {
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  seen_mark(ui, item.seen);
  hooks::note(fmt::format("walk.seen.{}.{}", item.tag, static_cast<int>(item.seen)));
  ImGui::TableNextColumn();
  if (link(ui, "walk.open." + item.tag, item.tag.c_str())) to_opening(ui, item.opening);
  ImGui::TableNextColumn();
  cut_text(item.service.empty() ? "–" : item.service, ImGui::GetContentRegionAvail().x);
  ImGui::TableNextColumn();
  cut_text(item.place, ImGui::GetContentRegionAvail().x);
  ImGui::TableNextColumn();
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  cut_text(item.last.empty() ? "never looked at" : item.last, ImGui::GetContentRegionAvail().x);
  ImGui::PopStyleColor();
  ImGui::TableNextColumn();
  if (item.seen != model::Seen::ToBeConfirmed || !ui.editable) return;
  if (link(ui, "walk.confirm." + item.tag, "as before")) ui.ask(ConfirmObservation{item.opening});
  hint("It was looked at and is as put down. What is different is changed in its record.");
}

}  // namespace

void SeasonsView::refresh(const Ui& ui) {
  const auto& logbook = *ui.desk.logbook();
  const std::string day = ui.desk.today();
  if (logbook_ == ui.desk.logbook_number() && revision_ == logbook.revision && day_ == day) return;
  logbook_ = ui.desk.logbook_number();
  revision_ = logbook.revision;
  day_ = day;
  const auto on = units::parse_date(day).value_or(units::Day{});
  rows_ = app::season_rows(logbook, *ui.desk.tables(), on);
  due_ = app::due_items(logbook, *ui.desk.tables(), on);
  walk_ = app::checklist_of(logbook, *ui.desk.tables());
}

void SeasonsView::draw(const Ui& ui) {
  refresh(ui);
  ImGui::BeginChild("seasons", {0, 0}, true, ImGuiWindowFlags_AlwaysUseWindowPadding);
  heading(ui, "Seasons and what is due");
  static constexpr std::array<Option, 3> kTabs{
      {{"seasons", "Season by season"}, {"due", "Due"}, {"walk", "Walk round"}}};
  const SeasonsTab tab = ui.desk.state().seasons_tab;
  if (const auto picked = segments(ui, "seasons.tab", kTabs, static_cast<std::size_t>(tab)))
    ui.ask(ShowSeasons{static_cast<SeasonsTab>(*picked)});
  switch (tab) {
    case SeasonsTab::Seasons:
      draw_table(ui);
      break;
    case SeasonsTab::Due:
      draw_due(ui);
      break;
    case SeasonsTab::Walk:
      draw_walk(ui);
      break;
  }
  ImGui::EndChild();
}

void SeasonsView::draw_due(const Ui& ui) const {
  soft_wrapped(ui, fmt::format("As of {}. Intervals are common practice; a yard lays its own rows over "
                               "intervals.csv (spile rules --lay).",
                               day_));
  due_group(ui, due_, DueState::Overdue, "Overdue");
  due_group(ui, due_, DueState::Coming, "Coming");
  due_group(ui, due_, DueState::Later, "Later");
  if (due_.empty()) soft_wrapped(ui, "No opening is recorded yet.");
}

void SeasonsView::draw_walk(const Ui& ui) const {
  const auto& logbook = *ui.desk.logbook();
  if (button(ui, "walk.from_last", "Begin a survey from the last one",
             ui.editable && !logbook.surveys.empty()))
    ui.ask(BeginSurveyFromLast{});
  hint("All that was put down is carried over, to be confirmed; nothing counts as seen.");
  if (walk_.items.empty()) return soft_wrapped(ui, "No opening is recorded yet.");
  ImGui::SameLine();
  const float share = static_cast<float>(walk_.looked) / static_cast<float>(walk_.items.size());
  ImGui::PushStyleColor(ImGuiCol_PlotHistogram, ui.colours.good.ink.vec());
  ImGui::ProgressBar(share, {ui.px(160), ImGui::GetFrameHeight()}, "");
  ImGui::PopStyleColor();
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(app::progress_words(walk_).c_str());
  hooks::note("walk.progress");
  soft_wrapped(ui, "Down the starboard side from the bow, back along the centreline, down the port side.");
  const ImGuiTableFlags flags =
      ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_ScrollY;
  if (!ImGui::BeginTable("walk", 6, flags)) return;
  ImGui::TableSetupColumn("seen", ImGuiTableColumnFlags_WidthFixed, ui.px(140));
  ImGui::TableSetupColumn("tag", 0, 0.5F);
  ImGui::TableSetupColumn("service", 0, 1.5F);
  ImGui::TableSetupColumn("place", 0, 1.5F);
  ImGui::TableSetupColumn("last", 0, 2.2F);
  ImGui::TableSetupColumn("confirm", ImGuiTableColumnFlags_WidthFixed, ui.px(76));
  for (const auto& item : walk_.items) walk_row(ui, item);
  ImGui::EndTable();
}

}  // namespace spile::gui
