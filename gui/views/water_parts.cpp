// The parts of a run as they are entered: picked, ordered, measured, and joined to another run.
#include <fmt/format.h>

#include <algorithm>

#include "app/water_words.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/water.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

using rules::PartKind;

void change(const Ui& ui, model::RunId run, std::function<void(model::Run&)> what) {
  ui.ask(ChangeRun{run, std::move(what)});
}

// Sets one member of a part. Made of values only: a field may be committed after its view has gone.
template <class T>
std::function<void(T)> part_setter(const Ui& ui, model::RunId run, std::size_t index,
                                   T model::RunPart::*member) {
  return [intents = &ui.intents, run, index, member](T value) {
    intents->push(ChangeRun{run, [index, member, value](model::Run& r) {
                              if (index < r.parts.size()) r.parts[index].*member = value;
                            }});
  };
}
template <class T>
std::function<void(T)> run_setter(const Ui& ui, model::RunId run, T model::Run::*member) {
  return [intents = &ui.intents, run, member](T value) {
    intents->push(ChangeRun{run, [member, value](model::Run& r) { r.*member = value; }});
  };
}

void draw_measures(const Ui& ui, const app::RunView& run, std::size_t index) {
  const auto id = run.run.id;
  const auto& typed = run.run.parts[index];
  const auto kind = run.placed.parts[index].stock->kind;
  const auto field = [&](const char* what) {
    return FieldId{fmt::format("run.part.{}/{}", what, index + 1),
                   id.value * 1000 + static_cast<std::int64_t>(index)};
  };
  if (kind == PartKind::Hose) {
    length_field(ui, field("length"), "Length", typed.length_mm, Size::Small,
                 part_setter(ui, id, index, &model::RunPart::length_mm));
    length_field(ui, field("rise"), "Rises by", typed.rise_mm, Size::Small,
                 part_setter(ui, id, index, &model::RunPart::rise_mm));
    number_field(ui, field("bends"), "Bends", typed.bends, "right angles, swept",
                 part_setter(ui, id, index, &model::RunPart::bends));
  }
  if (kind == PartKind::Pump)
    text_field(ui, field("curve"), "Pump's curve", typed.curve, "0 m 69 L/min; 3.7 m 0",
               part_setter(ui, id, index, &model::RunPart::curve));
  length_field(ui, field("bore"), "Bore as measured", typed.bore_mm, Size::Small,
               part_setter(ui, id, index, &model::RunPart::bore_mm));
}

void draw_order(const Ui& ui, model::RunId id, std::size_t index) {
  const auto name = [&](const char* what) { return fmt::format("run.part.{}/{}", what, index + 1); };
  if (link(ui, name("up"), "Up") && index > 0)
    change(ui, id, [index](model::Run& r) { std::swap(r.parts.at(index), r.parts.at(index - 1)); });
  ImGui::SameLine();
  if (link(ui, name("turn"), "Turn round"))
    change(ui, id, [index](model::Run& r) { r.parts.at(index).turned = !r.parts.at(index).turned; });
  ImGui::SameLine();
  if (link(ui, name("take_out"), "Take out"))
    change(ui, id,
           [index](model::Run& r) { r.parts.erase(r.parts.begin() + static_cast<std::ptrdiff_t>(index)); });
}

void draw_fixture(const Ui& ui, const app::RunView& run) {
  const auto id = run.run.id;
  section(ui, "Where it starts");
  text_field(ui, {"run.name", id.value}, "Name", run.run.name, "galley sink",
             run_setter(ui, id, &model::Run::name));
  length_field(ui, {"run.outlet_height", id.value}, "Starts above water", run.run.outlet_height_mm,
               Size::Small, run_setter(ui, id, &model::Run::outlet_height_mm));
  length_field(ui, {"run.basin_depth", id.value}, "Rim above that", run.run.basin_depth_mm, Size::Small,
               run_setter(ui, id, &model::Run::basin_depth_mm));
  number_field(ui, {"run.basin_litres", id.value}, "The basin holds", run.run.basin_litres, "litres",
               run_setter(ui, id, &model::Run::basin_litres));
  length_field(ui, {"run.from_centreline", id.value}, "Fixture off centre", run.run.from_centreline_mm,
               Size::Small, run_setter(ui, id, &model::Run::from_centreline_mm));
}

// A tee of another run that leaves by the same opening.
struct Tee {
  std::string key, label;
  model::RunJoin join;
};

std::vector<Tee> tees(const app::WaterView& water, const app::RunView& run) {
  std::vector<Tee> all;
  for (const auto& other : water.runs) {
    if (other.run.id == run.run.id || other.run.opening != run.run.opening) continue;
    for (std::size_t i = 0; i < other.run.parts.size() && i < other.placed.parts.size(); ++i) {
      if (other.placed.parts[i].stock->kind != PartKind::Tee) continue;
      all.push_back({fmt::format("{}/{}", other.run.id.value, i + 1),
                     fmt::format("At part {} of {}", i + 1, app::run_title(other)),
                     {other.run.id, static_cast<int>(i)}});
    }
  }
  return all;
}

void draw_joins(const Ui& ui, const app::WaterView& water, const app::RunView& run) {
  const auto all = tees(water, run);
  if (all.empty() && !run.run.joins) return;
  std::vector<Option> options{{"hull", "At the hull"}};
  std::size_t lit = 0;
  for (const auto& tee : all) {
    options.push_back({tee.key, tee.label});
    if (run.run.joins == tee.join) lit = options.size() - 1;
  }
  if (lit == 0 && run.run.joins) options.front().label = "At a tee that is not there";
  field_label(ui, "Ends");
  ImGui::BeginDisabled(!ui.editable);
  if (const auto picked = pick_list(ui, "run.joins", options, lit)) {
    std::optional<model::RunJoin> join;
    if (*picked > 0) join = all[*picked - 1].join;
    change(ui, run.run.id, [join](model::Run& r) { r.joins = join; });
  }
  ImGui::EndDisabled();
}

}  // namespace

void WaterPane::draw_part(const Ui& ui, const app::RunView& run, std::size_t index) {
  ImGui::PushID(static_cast<int>(index));
  const bool narrowest = run.match.bottleneck == index && run.match.narrowest_mm < run.match.widest_mm;
  if (narrowest) ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.act.ink.vec());
  wrapped(app::part_text(run, index));
  if (narrowest) ImGui::PopStyleColor();
  hooks::note(fmt::format("run.part/{}", index + 1));
  if (index < run.run.parts.size() && ui.editable) {
    draw_measures(ui, run, index);
    draw_order(ui, run.run.id, index);
  }
  if (const auto text = app::joint_text(run, index); !text.empty()) {
    const bool stretched = run.match.joints[index].fit == rules::Fit::Stretched;
    caution_box(ui, text, stretched ? ui.colours.watch : ui.colours.act, MarkShape::Triangle);
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
  draw_joins(ui, ui.desk.logbook()->water, run);
  draw_fixture(ui, run);
}

}  // namespace spile::gui
