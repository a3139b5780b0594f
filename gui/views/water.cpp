#include "gui/views/water.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "app/section.hpp"
#include "app/water_figures.hpp"
#include "app/water_words.hpp"
#include "app/wording.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/figure.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

using app::print_number;

constexpr double kPaperWidth = 110;  // mm a figure is laid out for

void figure(const Ui& ui, const figures::Figure& drawn, const char* name) {
  draw_figure(ui, drawn, std::min(ImGui::GetContentRegionAvail().x, ui.px(640)));
  hooks::note(name);
}

void draw_backflow(const Ui& ui, const app::BackflowView& back) {
  if (!hydraulics::dangerous(back.answer)) return wrapped(app::backflow_text(back));
  caution_box(ui, app::backflow_text(back), ui.colours.act, MarkShape::Triangle);
  hooks::note("run.danger");
}

void draw_remedies(const Ui& ui, const app::RunView& run) {
  if (run.remedies.empty()) return;
  section(ui, "What would make it match, best first");
  int number = 0;
  for (const auto& remedy : run.remedies) {
    numbered(ui, ++number, app::remedy_title(remedy));
    hooks::note(fmt::format("run.remedy/{}", number));
    ImGui::Indent(ui.px(22));
    for (const auto& line : app::remedy_lines(remedy)) soft_wrapped(ui, line);
    ImGui::Unindent(ui.px(22));
  }
}

void draw_section(const Ui& ui, const app::OpeningView& opening, const app::RunView* run) {
  const auto view = app::section_of(*ui.desk.logbook(), opening, run);
  section(ui, "As she heels");
  for (const auto& sentence : view.words) wrapped(sentence);
  if (view.drawn) figure(ui, app::section_figure(*ui.desk.logbook(), view, kPaperWidth), "run.section");
}

void draw_flood(const Ui& ui, const app::WaterView& water, const app::OpeningView& opening) {
  section(ui, "If it lets go");
  const auto* flood = water.flood_of(opening.opening.id);
  if (flood == nullptr || !flood->known) {
    soft_wrapped(ui, flood == nullptr ? "Not known." : flood->why_not);
    return;
  }
  ImGui::PushFont(ui.fonts.strong);
  wrapped(app::flood_title(*flood, water));
  ImGui::PopFont();
  hooks::note("flood.headline");
  if (flood->rank == 0) return;
  for (const auto& line : app::leak_lines(*flood)) soft_wrapped(ui, line);
  figure(ui, app::flooding_figure(water, kPaperWidth), "flood.figure");
  ImGui::PushFont(ui.fonts.small);
  soft_wrapped(ui, app::pumps_text(water));
  ImGui::PopFont();
  for (const auto& caution : water.cautions) caution_box(ui, caution, ui.colours.watch, MarkShape::Square);
}

void draw_bilge(const Ui& ui) {
  const auto& bilge = ui.desk.logbook()->bilge;
  const auto number = [&](const char* name, const char* label, std::optional<double> stored,
                          const char* hint_text, std::optional<double> model::Bilge::*field) {
    text_field(ui, {name, 1}, label, stored ? print_number(*stored, 1) : std::string(), hint_text,
               [&ui, field](const std::string& typed) {
                 ui.ask(ChangeBilge{field, typed});
               });
  };
  section(ui, "The whole vessel");
  number("bilge.sole", "Wets the sole, L", bilge.sole_litres, "litres in the bilge",
         &model::Bilge::sole_litres);
  number("bilge.pumps", "Other pumps, L/min", bilge.other_pumps_lpm, "as they deliver",
         &model::Bilge::other_pumps_lpm);
  number("bilge.waterplane", "Waterplane, m2", bilge.waterplane_m2, "estimated if left out",
         &model::Bilge::waterplane_m2);
}

}  // namespace

void WaterPane::draw_run(const Ui& ui, const app::OpeningView& opening, const app::RunView& run) {
  standing_tag(
      ui, run.standing,
      fmt::format("{} · {}", run.run.name.empty() ? "Run" : run.run.name, look_of(run.standing).word));
  hooks::note("run.standing");
  ImGui::PushFont(ui.fonts.strong);
  wrapped(run.headline);
  ImGui::PopFont();
  hooks::note("run.headline");
  for (const auto& fault : run.faults) caution_box(ui, fault, ui.colours.watch, MarkShape::Diamond);
  figure(ui, app::run_line_figure(run, kPaperWidth), "run.line");
  if (!run.match.size_note.empty()) caution_box(ui, run.match.size_note, ui.colours.act, MarkShape::Triangle);
  for (const auto& line : app::flow_lines(run)) wrapped(line);
  for (const auto* back : app::backflows(run)) draw_backflow(ui, *back);
  draw_section(ui, opening, &run);
  if (run.profile.size() > 1) figure(ui, app::run_heights_figure(run, kPaperWidth), "run.heights");
  if (const auto plot = app::pump_figure(run, *ui.desk.stock(), kPaperWidth)) figure(ui, *plot, "run.pump");
  draw_parts(ui, run);
  draw_remedies(ui, run);
  for (const auto& note : run.notes) soft_wrapped(ui, note);
  if (ui.editable && link(ui, "run.remove", "Remove this run")) ui.ask(RemoveRun{run.run.id});
}

void WaterPane::draw(const Ui& ui) {
  const app::OpeningView* view = ui.desk.selected();
  if (view == nullptr) {
    soft_wrapped(ui, "Choose an opening in the list to see the run that ends in it.");
    return;
  }
  const auto& water = ui.desk.logbook()->water;
  std::vector<const app::RunView*> runs;
  for (const auto& run : water.runs)
    if (run.run.opening == view->opening.id) runs.push_back(&run);
  heading(ui, "Runs and water");
  beside_heading(ui);
  soft_text(ui, "of " + view->opening.tag);
  const app::RunView* shown = runs.empty() ? nullptr : runs.front();
  std::vector<std::string> keys;
  keys.reserve(runs.size());
  for (const auto* run : runs) {
    if (run->run.id == chosen_) shown = run;
    keys.push_back(fmt::format("{}", run->run.id.value));
  }
  if (runs.size() > 1) {
    std::vector<Option> options;
    std::size_t lit = 0;
    for (std::size_t i = 0; i < runs.size(); ++i) {
      options.push_back({keys[i], runs[i]->run.name});
      if (runs[i] == shown) lit = i;
    }
    if (const auto picked = segments(ui, "run.which", options, lit)) chosen_ = runs[*picked]->run.id;
  }
  if (shown != nullptr) {
    draw_run(ui, *view, *shown);
  } else {
    soft_wrapped(ui, "No run is recorded for this opening yet.");
    draw_section(ui, *view, nullptr);
  }
  if (button(ui, "run.template",
             runs.empty() ? "Begin with the usual parts" : "Another run from the usual parts", ui.editable))
    ui.ask(StartRun{view->opening.id, true});
  ImGui::SameLine();
  if (button(ui, "run.empty", "Empty run", ui.editable)) ui.ask(StartRun{view->opening.id, false});
  draw_flood(ui, water, *view);
  draw_bilge(ui);
}

}  // namespace spile::gui
