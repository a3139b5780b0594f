#include "gui/views/water.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "app/water_figures.hpp"
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
using rules::PartKind;

constexpr double kPaperWidth = 110;  // mm a figure is laid out for

void change(const Ui& ui, model::RunId run, std::function<void(model::Run&)> what) {
  ui.ask(ChangeRun{run, std::move(what)});
}

void change_part(const Ui& ui, model::RunId run, std::size_t index,
                 std::function<void(model::RunPart&)> what) {
  change(ui, run, [index, what = std::move(what)](model::Run& r) {
    if (index < r.parts.size()) what(r.parts[index]);
  });
}

void figure(const Ui& ui, const figures::Figure& drawn, const char* name) {
  draw_figure(ui, drawn, std::min(ImGui::GetContentRegionAvail().x, ui.px(640)));
  hooks::note(name);
}

void draw_flow(const Ui& ui, const char* when, const app::FlowView& flow) {
  const std::string text = app::flow_text(flow);
  if (text.empty()) return;
  soft_text(ui, when);
  wrapped(text);
}

void draw_backflow(const Ui& ui, const std::optional<app::BackflowView>& back) {
  if (!back) return;
  if (hydraulics::dangerous(back->answer)) {
    std::string text = back->text;
    if (back->lpm) text += fmt::format(" {} L/min come in.", print_number(*back->lpm, 0));
    caution_box(ui, text, ui.colours.act, MarkShape::Triangle);
    hooks::note("run.danger");
  } else {
    wrapped(back->text);
  }
}

void draw_remedies(const Ui& ui, const app::RunView& run) {
  if (run.remedies.empty()) return;
  section(ui, "What would make it match, best first");
  int number = 0;
  for (const auto& [remedy, lpm] : run.remedies) {
    std::string title = remedy.title;
    if (lpm) title += fmt::format(": {} L/min", print_number(*lpm, 0));
    if (!remedy.serves) title += " (too small for the service)";
    numbered(ui, ++number, title);
    hooks::note(fmt::format("run.remedy/{}", number));
    ImGui::Indent(ui.px(22));
    for (const auto& step : remedy.steps) soft_wrapped(ui, step);
    if (!remedy.why_not.empty()) soft_wrapped(ui, "Against it: " + remedy.why_not);
    ImGui::Unindent(ui.px(22));
  }
}

void draw_flood(const Ui& ui, const app::WaterView& water, const app::OpeningView& opening) {
  section(ui, "If it lets go");
  const auto* flood = water.flood_of(opening.opening.id);
  if (flood == nullptr || !flood->known) {
    soft_wrapped(ui, flood == nullptr ? "Not known." : flood->why_not);
    return;
  }
  ImGui::PushFont(ui.fonts.strong);
  wrapped(flood->rank > 0
              ? fmt::format("{} of {} to worry about. {}", flood->rank, app::ranked(water), flood->headline)
              : flood->headline);
  ImGui::PopFont();
  hooks::note("flood.headline");
  if (flood->rank == 0) return;
  for (const auto& line : app::leak_lines(*flood)) soft_wrapped(ui, line);
  figure(ui, app::flooding_figure(water, kPaperWidth), "flood.figure");
  ImGui::PushFont(ui.fonts.small);
  soft_wrapped(ui, fmt::format("Pumps {} L/min: {}. Waterplane {}.", print_number(water.pumps_lpm, 0),
                               water.pumps_how, water.waterplane_how));
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

void draw_heights(const Ui& ui, const app::RunView& run) {
  const auto id = run.run.id;
  length_field(ui, {"run.outlet_height", id.value}, "Starts above water", run.run.outlet_height_mm,
               Size::Small, [&ui, id](std::optional<double> mm) {
                 change(ui, id, [mm](model::Run& r) { r.outlet_height_mm = mm; });
               });
  length_field(ui, {"run.basin_depth", id.value}, "From there to the rim", run.run.basin_depth_mm,
               Size::Small, [&ui, id](std::optional<double> mm) {
                 change(ui, id, [mm](model::Run& r) { r.basin_depth_mm = mm; });
               });
  length_field(ui, {"run.from_centreline", id.value}, "Fixture off centre", run.run.from_centreline_mm,
               Size::Small, [&ui, id](std::optional<double> mm) {
                 change(ui, id, [mm](model::Run& r) { r.from_centreline_mm = mm; });
               });
}

}  // namespace

void WaterPane::draw_part(const Ui& ui, const app::RunView& run, std::size_t index) {
  const auto& part = run.placed.parts[index];
  const auto id = run.run.id;
  const bool own = index < run.run.parts.size();
  ImGui::PushID(static_cast<int>(index));
  const bool narrowest = run.match.bottleneck == index && run.match.narrowest_mm < run.match.widest_mm;
  if (narrowest) ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
  wrapped(fmt::format("{}. {}{}", index + 1, part.stock->choice.label, narrowest ? "  (narrowest)" : ""));
  if (narrowest) ImGui::PopStyleColor();
  hooks::note(fmt::format("run.part/{}", index + 1));
  if (own && ui.editable) {
    const auto name = [&](const char* what) { return fmt::format("run.part.{}/{}", what, index + 1); };
    const std::int64_t owner = id.value * 1000 + static_cast<std::int64_t>(index);
    if (part.stock->kind == PartKind::Hose)
      length_field(ui, {name("length"), owner}, "Length", run.run.parts[index].length_mm, Size::Small,
                   [&ui, id, index](std::optional<double> mm) {
                     change_part(ui, id, index, [mm](model::RunPart& p) { p.length_mm = mm; });
                   });
    length_field(ui, {name("bore"), owner}, "Bore as measured", run.run.parts[index].bore_mm, Size::Small,
                 [&ui, id, index](std::optional<double> mm) {
                   change_part(ui, id, index, [mm](model::RunPart& p) { p.bore_mm = mm; });
                 });
    if (link(ui, name("up"), "Up") && index > 0)
      change(ui, id, [index](model::Run& r) { std::swap(r.parts.at(index), r.parts.at(index - 1)); });
    ImGui::SameLine();
    if (link(ui, name("turn"), "Turn round"))
      change_part(ui, id, index, [](model::RunPart& p) { p.turned = !p.turned; });
    ImGui::SameLine();
    if (link(ui, name("take_out"), "Take out"))
      change(ui, id,
             [index](model::Run& r) { r.parts.erase(r.parts.begin() + static_cast<std::ptrdiff_t>(index)); });
  } else if (part.from_fitting) {
    soft_text(ui, "the opening's own fitting");
  }
  if (index < run.match.joints.size() && !rules::matches(run.match.joints[index].fit)) {
    const auto& joint = run.match.joints[index];
    caution_box(ui,
                fmt::format("{}: {}. {}", rules::label(joint.fit), joint.text, app::chain_text(run, index)),
                joint.fit == rules::Fit::Stretched ? ui.colours.watch : ui.colours.act, MarkShape::Triangle);
    hooks::note(fmt::format("run.joint/{}", index + 1));
  }
  ImGui::PopID();
}

void WaterPane::draw_add(const Ui& ui, const app::RunView& run) {
  std::vector<Option> kinds, parts;
  std::vector<std::string> kind_keys;
  kind_keys.reserve(14);
  for (int k = 0; k <= static_cast<int>(PartKind::Other); ++k) kind_keys.push_back(fmt::format("{}", k));
  for (int k = 0; k <= static_cast<int>(PartKind::Other); ++k)
    kinds.push_back({kind_keys[static_cast<std::size_t>(k)], rules::label(static_cast<PartKind>(k))});
  section(ui, "Add a part");
  ImGui::BeginDisabled(!ui.editable);
  if (const auto picked = pick_list(ui, "run.add_kind", kinds, kind_)) kind_ = *picked;
  parts.push_back({"", "Choose one ..."});
  for (const auto& part : ui.desk.stock()->parts())
    if (part.kind == static_cast<PartKind>(kind_)) parts.push_back({part.choice.key, part.choice.label});
  if (const auto picked = pick_list(ui, "run.add_part", parts, 0); picked && *picked > 0)
    change(ui, run.run.id, [key = std::string(parts[*picked].key)](model::Run& r) {
      r.parts.emplace_back();
      r.parts.back().part = key;
    });
  ImGui::EndDisabled();
}

void WaterPane::draw_parts(const Ui& ui, const app::RunView& run) {
  ImGui::SetNextItemOpen(!run.match.all_match || run.run.parts.empty(), ImGuiCond_Once);
  const bool open =
      ImGui::TreeNodeEx("Parts from the fixture to the sea",
                        ImGuiTreeNodeFlags_SpanAvailWidth | ImGuiTreeNodeFlags_NoTreePushOnOpen);
  hooks::note("run.parts");
  if (!open) return;
  for (std::size_t i = 0; i < run.placed.parts.size(); ++i) draw_part(ui, run, i);
  draw_add(ui, run);
  draw_heights(ui, run);
}

void WaterPane::draw_run(const Ui& ui, const app::RunView& run) {
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
  draw_flow(ui, "At rest", run.at_rest);
  if (run.heel_deg > 0) draw_flow(ui, "Heeled", run.heeled);
  draw_backflow(ui, run.back_at_rest);
  if (run.heel_deg > 0) draw_backflow(ui, run.back_heeled);
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
    draw_run(ui, *shown);
  } else {
    soft_wrapped(ui, "No run is recorded for this opening yet.");
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
