// Beside the two photos: how far comparing has got, what it found, and the crack that is being traced.
#include <fmt/format.h>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/compare.hpp"
#include "gui/widgets/change_mark.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"

namespace spile::gui {

namespace {

using vision::Season;

void draw_length(const Ui& ui, const char* name, Season season) {
  const CompareState& state = ui.desk.comparing().state();
  const auto index = static_cast<std::size_t>(season);
  const std::string date = state.photo(season).survey.date;
  std::string text;
  if (const auto& traced = state.traced[index]) {
    text = show_interval(traced->length_mm, traced->u95_mm, model::Quantity::CrackLength, ui.lengths);
  } else if (state.draft.points[index].size() >= 2) {
    text = "no reference was found in this photo";
  } else {
    text = state.draft.points[index].empty() ? "not traced" : "one more point";
  }
  soft_text(ui, date);
  ImGui::SameLine(ui.px(100));
  ImGui::PushFont(ui.fonts.strong);
  wrapped(text);
  ImGui::PopFont();
  hooks::note(name);
}

}  // namespace

void CompareView::draw_panel(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  switch (state.work) {
    case CompareState::Work::None:
      break;
    case CompareState::Work::Running:
      draw_working(ui);
      break;
    case CompareState::Work::Failed:
      caution_box(ui, state.failure, ui.colours.act, MarkShape::Triangle);
      hooks::note("compare.failed");
      break;
    case CompareState::Work::Done:
      draw_found(ui);
      break;
  }
  draw_tracing(ui);
}

void CompareView::draw_working(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  const auto job = ui.desk.comparing().job();
  heading(ui, state.cancelling ? "Stopping…" : "Comparing…");
  const float share =
      job && job->total > 0 ? static_cast<float>(job->done) / static_cast<float>(job->total) : 0.0F;
  const ImVec2 size = {ImGui::GetContentRegionAvail().x, ui.px(14)};
  const ImVec2 min = ImGui::GetCursorScreenPos(), max = {min.x + size.x, min.y + size.y};
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, ui.colours.field.u32(), ui.px(3));
  list.AddRectFilled(min, {min.x + size.x * share, max.y}, ui.colours.selected.u32(), ui.px(3));
  list.AddRect(min, max, ui.colours.edge.u32(), ui.px(3));
  ImGui::Dummy(size);
  hooks::note("compare.progress");
  if (job) soft_wrapped(ui, job->stage);
  if (button(ui, "compare.stop", "Stop", !state.cancelling)) ui.ask(StopComparing{});
}

void CompareView::draw_found(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  const vision::Comparison& comparison = *state.comparison;
  if (comparison.refused) {
    heading(ui, "Not compared");
    caution_box(ui, comparison.refused->reason, ui.colours.unsure, MarkShape::Diamond);
    hooks::note("compare.refused");
    soft_wrapped(ui, "Choose other photos above. Side by side they can be looked at all the same.");
    return;
  }
  heading(ui, app::summary(comparison));
  hooks::note("compare.summary");
  soft_wrapped(
      ui, fmt::format("Of the hull that both photos show. They lie on one another within {:.1f} px; light, "
                      "shadows and glare are not counted.",
                      comparison.residual_px));
  for (std::size_t i = 0; i < comparison.changes.size(); ++i) draw_change_row(ui, i);
}

void CompareView::draw_change_row(const Ui& ui, std::size_t index) {
  const CompareState& state = ui.desk.comparing().state();
  const vision::Change& change = state.comparison->changes[index];
  const float mark = ui.px(24);
  ImGui::PushID(static_cast<int>(index));
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = ui.fonts.strong->FontSize + ui.fonts.body->FontSize + ui.px(14);
  if (ImGui::Selectable("##row", state.change == index, 0, {0, height})) look_at_change(ui, index);
  hooks::note(fmt::format("compare.change.{}", index));
  hint("Shows it large in both photos");
  ImDrawList& list = *ImGui::GetWindowDrawList();
  draw_change_mark(ui, list, {at.x + mark / 2 + ui.px(4), at.y + height / 2}, mark, change.kind);
  const float x = at.x + mark + ui.px(14);
  list.AddText(ui.fonts.strong, ui.fonts.strong->FontSize, {x, at.y + ui.px(4)}, ui.colours.ink.u32(),
               fmt::format("{}  {}", index + 1, app::title_of(change)).c_str());
  list.AddText(ui.fonts.body, ui.fonts.body->FontSize, {x, at.y + ui.px(6) + ui.fonts.strong->FontSize},
               ui.colours.soft.u32(), app::size_of(change).c_str());
  ImGui::PopID();
}

void CompareView::draw_tracing(const Ui& ui) {
  const CompareState& state = ui.desk.comparing().state();
  section(ui, "A crack by hand");
  if (state.tracing) {
    soft_wrapped(
        ui,
        "Click along the crack from end to end, in each photo; drag a point to move it, Backspace takes the "
        "last one back.");
  } else {
    soft_wrapped(ui, "Trace a crack in each photo to have its length in each survey.");
  }
  draw_length(ui, "compare.length.earlier", Season::Earlier);
  draw_length(ui, "compare.length.later", Season::Later);
  if (state.traced[0] && state.traced[1]) {
    wrapped("Between them: " + app::growth(*state.traced[0], *state.traced[1]) + ".");
    hooks::note("compare.growth");
  }
  const bool crack_in_hand = state.aligned() && state.change &&
                             *state.change < state.comparison->changes.size() &&
                             state.comparison->changes[*state.change].length_mm;
  if (button(ui, "compare.from_found", "Begin with the crack found", ui.editable && crack_in_hand))
    ui.ask(TraceFromChange{});
  hint("Choose a crack in the list first; what is found is only the part that is new.");
  const Action& keep = action("compare.keep");
  if (main_button(ui, "compare.keep", "Keep in the logbook", keep.enabled(ui.desk), keys_of("compare.keep")))
    ui.ask(keep.intent(ui.desk));
  const bool something = !state.draft.points[0].empty() || !state.draft.points[1].empty();
  if (something && link(ui, "compare.aside", "Put the traces aside")) ui.ask(PutTracesAside{});
}

}  // namespace spile::gui
