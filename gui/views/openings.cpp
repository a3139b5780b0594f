#include "gui/views/openings.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <array>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"
#include "rules/standing_value.hpp"

namespace spile::gui {

namespace {

struct Column {
  SortBy by;
  const char* title;
  float width;  // share of the table
};
constexpr std::array<Column, 7> kColumns = {{{SortBy::Tag, "Tag", 0.6F},
                                             {SortBy::Service, "Service", 1.45F},
                                             {SortBy::Zone, "Zone", 0.72F},
                                             {SortBy::Diameter, "Hole ⌀", 1.25F},
                                             {SortBy::Laminate, "Laminate", 1.5F},
                                             {SortBy::Condition, "State", 0.72F},
                                             {SortBy::Standing, "Verdict", 1.15F}}};

// The head of a column of lengths names their unit, so that the cells need not.
std::string title_of(const Ui& ui, const Column& column) {
  const bool length = column.by == SortBy::Diameter || column.by == SortBy::Laminate;
  return length ? fmt::format("{}, {}", column.title, unit_word(ui.lengths)) : column.title;
}

// The short word for a cell; the verdict's headline on hover.
std::string_view zone_word(std::string_view answer) {
  if (answer == "below-waterline") return "below";
  if (answer == "wetted-when-heeled") return "heeled";
  if (answer == "above") return "above";
  return "not known";
}

std::string_view condition_word(model::Condition condition) {
  switch (condition) {
    case model::Condition::Unknown:
      return "–";
    case model::Condition::Sound:
      return "sound";
    case model::Condition::Worn:
      return "worn";
    case model::Condition::Poor:
      return "poor";
    case model::Condition::Failed:
      return "failed";
  }
  return "–";
}

void value_cell(const Ui& ui, const app::OpeningView& view, model::Quantity quantity) {
  const app::Snapshot& logbook = *ui.desk.logbook();
  const auto survey = logbook.survey;
  const model::Measurement* m = rules::standing_value(view.measurements, quantity, logbook.newest_first());
  if (!m) return soft_text(ui, "–");
  const bool old = survey && m->survey != *survey;
  if (old) ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  cut_text(show_interval_bare(m->value, m->u95, ui.lengths), ImGui::GetContentRegionAvail().x);
  if (old) ImGui::PopStyleColor();
  const std::string from =
      fmt::format("{}, {}{}", model::label(m->method), m->instrument, old ? ", from an earlier survey" : "");
  hint(from);
}

// "16 openings, 7 to act on", or how many of them are shown.
std::string count_of(const std::vector<const app::OpeningView*>& shown, std::size_t all) {
  const auto act = std::count_if(shown.begin(), shown.end(), [](const app::OpeningView* view) {
    return view->standing == rules::Standing::Act;
  });
  std::string text = shown.size() == all ? fmt::format("{} opening{}", all, all == 1 ? "" : "s")
                                         : fmt::format("{} of {}", shown.size(), all);
  if (act > 0) text += fmt::format(", {} to act on", act);
  return text;
}

}  // namespace

void OpeningsView::draw(const Ui& ui) {
  draw_head(ui);
  if (ui.desk.logbook()->openings.empty()) {
    ImGui::Dummy({0, ui.px(8)});
    wrapped("No opening is recorded yet. Every hole through the hull gets a line here.");
    ImGui::Dummy({0, ui.px(4)});
    const bool editable = ui.editable;
    if (main_button(ui, "openings.add_first", "Add the first opening", editable, keys_of("opening.add")))
      ui.ask(AddOpening{});
  } else {
    draw_table(ui);
  }
  draw_unfiled(ui);
}

void OpeningsView::draw_head(const Ui& ui) {
  const auto& logbook = *ui.desk.logbook();
  if (button(ui, "openings.add", "Add opening", ui.editable, keys_of("opening.add"))) ui.ask(AddOpening{});
  ImGui::SameLine();
  if (focus_filter_) ImGui::SetKeyboardFocusHere();
  focus_filter_ = false;
  if (!ImGui::IsAnyItemActive()) filter_ = ui.desk.state().list.filter;
  ImGui::SetNextItemWidth(ui.px(170));
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  if (ImGui::InputTextWithHint("##filter", "Find (Ctrl+F)", &filter_)) ui.ask(SetFilter{filter_});
  ImGui::PopStyleColor();
  hooks::note("openings.filter");
  constexpr std::array<Option, 4> kSieves = {{{"all", "All"},
                                              {"needs-work", "Needs work"},
                                              {"not-looked-at", "Not looked at"},
                                              {"below", "Below waterline"}}};
  ImGui::SameLine();
  ImGui::SetNextItemWidth(ui.px(140));
  if (const auto picked =
          pick_list(ui, "openings.sieve", kSieves, static_cast<std::size_t>(ui.desk.state().list.sieve)))
    ui.ask(SetSieve{static_cast<Sieve>(*picked)});
  const std::string count = count_of(ui.desk.rows(), logbook.openings.size());
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
  cut_text(count, ImGui::GetContentRegionAvail().x);
  ImGui::PopStyleColor();
}

void OpeningsView::draw_table(const Ui& ui) {
  const bool unfiled = !ui.desk.logbook()->unfiled.empty();
  const float foot = unfiled ? ImGui::GetTextLineHeightWithSpacing() : 0;
  const ImGuiTableFlags flags = ImGuiTableFlags_Sortable | ImGuiTableFlags_ScrollY |
                                ImGuiTableFlags_Resizable | ImGuiTableFlags_BordersInnerH |
                                ImGuiTableFlags_SizingStretchProp;
  rows_.clear();
  const float height = ImGui::GetContentRegionAvail().y - foot;
  if (!ImGui::BeginTable("openings", static_cast<int>(kColumns.size()), flags, {0, height})) return;
  ImGui::TableSetupScrollFreeze(0, 1);
  for (const Column& column : kColumns) {
    const ImGuiTableColumnFlags first =
        column.by == SortBy::Tag ? ImGuiTableColumnFlags_DefaultSort : ImGuiTableColumnFlags_None;
    ImGui::TableSetupColumn(column.title, first, column.width, static_cast<ImGuiID>(column.by));
  }
  ImGui::TableNextRow(ImGuiTableRowFlags_Headers);
  for (std::size_t i = 0; i < kColumns.size(); ++i) {
    ImGui::TableSetColumnIndex(static_cast<int>(i));
    ImGui::TableHeader(fmt::format("{}###{}", title_of(ui, kColumns[i]), i).c_str());
    hooks::note(fmt::format("openings.head.{}", i));
  }
  if (ImGuiTableSortSpecs* specs = ImGui::TableGetSortSpecs();
      specs && specs->SpecsDirty && specs->SpecsCount > 0) {
    const auto& first = specs->Specs[0];
    ui.ask(SetSort{static_cast<SortBy>(first.ColumnUserID),
                   first.SortDirection == ImGuiSortDirection_Descending});
    specs->SpecsDirty = false;
  }
  // A few dozen rows: drawing them all keeps every one of them reachable by keyboard and by name.
  for (const app::OpeningView* view : ui.desk.rows()) draw_row(ui, *view);
  ImGui::EndTable();
}

void OpeningsView::draw_row(const Ui& ui, const app::OpeningView& view) {
  const bool lit = ui.desk.state().selected == view.opening.id;
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  ImGui::PushID(fmt::format("{}", view.opening.id.value).c_str());
  ImGui::PushFont(ui.fonts.strong);
  if (ImGui::Selectable(view.opening.tag.c_str(), lit, ImGuiSelectableFlags_SpanAllColumns))
    ui.ask(SelectOpening{view.opening.id});
  ImGui::PopFont();
  hooks::note("openings.row." + view.opening.tag);
  rows_.push_back({ImGui::GetItemRectMin(), ImGui::GetItemRectMax(), view.opening.id});
  if (lit && last_selected_ != view.opening.id) {
    ImGui::SetScrollHereY(0.5F);
    last_selected_ = view.opening.id;
  }
  ImGui::TableNextColumn();
  const auto service = rules::label_of(ui.desk.tables()->services(), view.opening.service);
  cut_text(service.empty() ? "–" : service, ImGui::GetContentRegionAvail().x);
  ImGui::TableNextColumn();
  const rules::Verdict* zone = verdict_of(view, "zone");
  const std::string_view word = zone ? zone_word(zone->answer) : "not known";
  word == "not known" ? soft_text(ui, "–") : cut_text(word, ImGui::GetContentRegionAvail().x);
  if (zone) hint(zone->headline);
  ImGui::TableNextColumn();
  value_cell(ui, view, model::Quantity::HoleDiameter);
  ImGui::TableNextColumn();
  value_cell(ui, view, model::Quantity::LaminateThickness);
  ImGui::TableNextColumn();
  const auto condition = view.observation ? view.observation->condition : model::Condition::Unknown;
  condition == model::Condition::Unknown
      ? soft_text(ui, "–")
      : cut_text(condition_word(condition), ImGui::GetContentRegionAvail().x);
  ImGui::TableNextColumn();
  standing_mark(ui, view.standing);
  ImGui::PopID();
}

void OpeningsView::draw_unfiled(const Ui& ui) {
  const std::size_t count = ui.desk.logbook()->unfiled.size();
  if (count == 0) return;
  const std::string label =
      fmt::format("{} photo{} not filed under an opening yet", count, count == 1 ? "" : "s");
  if (link(ui, "openings.unfiled", label.c_str())) ui.ask(SelectOpening{});
}

std::optional<model::OpeningId> OpeningsView::row_at(ImVec2 screen) const {
  for (const Row& row : rows_)
    if (screen.x >= row.min.x && screen.x < row.max.x && screen.y >= row.min.y && screen.y < row.max.y)
      return row.opening;
  return std::nullopt;
}

}  // namespace spile::gui
