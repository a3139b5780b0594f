#include "gui/views/record.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <array>

#include "gui/actions.hpp"
#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/views/record_fields.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/mark.hpp"
#include "gui/widgets/text.hpp"
#include "gui/words.hpp"

namespace spile::gui {

namespace {

using model::Method;
using model::Quantity;

// What can be measured with a tool in the hand, in the order it is usually asked for.
constexpr std::array kTypable = {
    Quantity::LaminateThickness, Quantity::HoleDiameter, Quantity::FlangeDiameter,  Quantity::BoreDiameter,
    Quantity::BackingThickness,  Quantity::BackingWidth, Quantity::LayerThickness,  Quantity::EdgeDamage,
    Quantity::CrackLength,       Quantity::StainArea,    Quantity::MoistureReading, Quantity::HoleOvality};
constexpr std::array kMethods = {Method::Caliper, Method::UltrasonicGauge, Method::SteelRule, Method::Tape,
                                 Method::Estimate};

template <class E, std::size_t N>
std::vector<Option> some_of(const std::array<E, N>& values) {
  std::vector<Option> options;
  for (const E value : values) options.push_back({model::key(value), model::label(value)});
  return options;
}

template <class E, std::size_t N>
std::size_t index_in(const std::array<E, N>& values, E value) {
  return static_cast<std::size_t>(std::find(values.begin(), values.end(), value) - values.begin());
}

// Shortened so that all stand in one line; the list and the report say them in full.
constexpr std::array<Option, 3> kSeen = {
    {{"not-looked-at", "not yet"}, {"to-be-confirmed", "to be confirmed"}, {"looked", "looked at"}}};
constexpr std::array<Option, 5> kConditions = {
    {{"unknown", "not known"}, {"sound", "sound"}, {"worn", "worn"}, {"poor", "poor"}, {"failed", "failed"}}};
constexpr std::array<Option, 4> kWaterlines = {{{"unknown", "not known"},
                                                {"below-waterline", "below"},
                                                {"wetted-when-heeled", "when heeled"},
                                                {"above", "above"}}};
constexpr std::array<Option, 5> kValves = {{{"unknown", "not known"},
                                            {"none", "no valve"},
                                            {"works", "works"},
                                            {"stiff", "stiff"},
                                            {"seized", "seized"}}};
constexpr std::array<Option, 3> kPlugs = {
    {{"unknown", "not known"}, {"none", "none"}, {"tied", "tied to it"}}};
constexpr std::array<Option, 3> kBackings = {
    {{"unknown", "not known"}, {"none", "none"}, {"present", "fitted"}}};

// Where a missing thing is recorded; the phrases are those of the rules.
constexpr std::array<std::pair<std::string_view, const char*>, 19> kFieldOfMissing = {{
    {"what it is for", "record.service"},
    {"distance from the bow", "record.from_bow"},
    {"height above the waterline", "record.height"},
    {"distance from the centreline", "record.half_breadth"},
    {"solid, sandwich, timber or metal hull", "record.construction"},
    {"hole diameter", "record.type.value"},
    {"laminate thickness", "record.type.value"},
    {"kind of fitting", "record.fitting_kind"},
    {"fitting material", "record.material"},
    {"fitting size", "record.fitting_size"},
    {"whether the valve works", "record.valve"},
    {"kind of valve", "record.valve_kind"},
    {"a look at it in this survey", "record.seen"},
    {"condition", "record.condition"},
    {"whether there is a backing block", "record.backing"},
    {"backing block material", "record.backing_material"},
    {"backing block thickness", "record.backing_thickness"},
    {"how it is reached", "record.reach"},
    {"hose clips", "record.clips"},
}};

}  // namespace

std::string field_of_missing(std::string_view phrase) {
  for (const auto& [missing, field] : kFieldOfMissing)
    if (missing == phrase) return field;
  return {};
}

void RecordView::draw(const Ui& ui) {
  const app::OpeningView* view = ui.desk.selected();
  if (!view) {
    heading(ui, "Record");
    soft_wrapped(ui, ui.desk.logbook()->openings.empty()
                         ? "Add an opening first; its record is kept here."
                         : "Choose an opening in the list to see its record.");
    return;
  }
  draw_head(ui, *view);
  draw_survey(ui, *view);
  draw_measurements(ui, *view);
  draw_place(ui, *view);
  draw_fitting(ui, *view);
  draw_next(ui, *view);
  draw_room(ui, *view);
}

void RecordView::draw_head(const Ui& ui, const app::OpeningView& view) {
  heading(ui, view.opening.tag);
  beside_heading(ui);
  const auto service = rules::label_of(ui.desk.tables()->services(), view.opening.service);
  cut_text(service.empty() ? "service not recorded" : service, ImGui::GetContentRegionAvail().x - ui.px(120));
  ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - ui.px(100));
  standing_mark(ui, view.standing);
  if (!view.missing.empty()) draw_missing(ui, view);
}

// Each a link to the field that settles it, flowing like text.
void RecordView::draw_missing(const Ui& ui, const app::OpeningView& view) {
  const float right = ImGui::GetWindowPos().x + ImGui::GetWindowContentRegionMax().x;
  soft_text(ui, "Still missing:");
  for (std::size_t i = 0; i < view.missing.size(); ++i) {
    const bool last = i + 1 == view.missing.size();
    const std::string label = view.missing[i];
    const float end = ImGui::GetItemRectMax().x + ui.px(6) + size_of(label + ",").x;
    if (end < right) ImGui::SameLine(0, ui.px(6));
    if (link(ui, fmt::format("record.missing.{}", i), label.c_str())) {
      ui.focus = field_of_missing(label);
      if (label == "hole diameter") quantity_ = Quantity::HoleDiameter;
      if (label == "laminate thickness") quantity_ = Quantity::LaminateThickness;
    }
    if (last) break;
    ImGui::SameLine(0, 0);
    soft_text(ui, ",");
  }
}

void RecordView::draw_survey(const Ui& ui, const app::OpeningView& view) {
  const model::Observation seen = view.observation.value_or(model::Observation{});
  const std::int64_t owner = view.opening.id.value;
  const auto& survey = ui.desk.logbook()->survey;
  std::string title = "Seen in this survey";
  for (const auto& s : ui.desk.logbook()->surveys)
    if (survey == s.id) title = fmt::format("Seen on {}", s.date);
  section(ui, title);
  segment_field<model::Seen>(ui, "record.seen", "Looked at", kSeen, seen.seen,
                             seen_as(ui, view, &model::Observation::seen));
  if (seen.seen == model::Seen::ToBeConfirmed) {
    field_label(ui, "");
    if (button(ui, "record.confirm", "It is as put down here", ui.editable))
      ui.ask(ConfirmObservation{view.opening.id});
    hint("Carried over from an earlier survey: change what is different first.");
  }
  segment_field<model::Condition>(ui, "record.condition", "Condition", kConditions, seen.condition,
                                  seen_as(ui, view, &model::Observation::condition));
  segment_field<model::Waterline>(ui, "record.waterline", "Waterline, by eye", kWaterlines, seen.waterline,
                                  seen_as(ui, view, &model::Observation::waterline));
  // Where nothing was seen otherwise, the fitting's own record holds.
  const std::string recorded = view.fitting ? view.fitting->material : std::string();
  const std::string as_recorded =
      recorded.empty()
          ? "not known"
          : fmt::format("as recorded: {}", rules::label_of(ui.desk.tables()->materials(), recorded));
  choice_field(ui, {"record.material", owner}, "Fitting's material", ui.desk.tables()->materials(),
               seen.fitting_material, as_recorded.c_str(),
               seen_as(ui, view, &model::Observation::fitting_material));
  segment_field<model::ValveState>(ui, "record.valve", "Valve", kValves, seen.valve,
                                   seen_as(ui, view, &model::Observation::valve));
  if (seen.valve != model::ValveState::None)
    choice_field(ui, {"record.valve_kind", owner}, "Kind of valve", ui.desk.tables()->valve_kinds(),
                 seen.valve_kind, "not known", seen_as(ui, view, &model::Observation::valve_kind));
  choices_field(ui, {"record.findings", owner}, "Found", rules::choices_of(ui.desk.tables()->findings()),
                seen.findings, "nothing put down", seen_as(ui, view, &model::Observation::findings));
  draw_backing(ui, view);
  number_field(ui, {"record.clips", owner}, "Hose clips", seen.clips, "on its tail",
               seen_as(ui, view, &model::Observation::clips));
  segment_field<model::Plug>(ui, "record.plug", "Softwood plug", kPlugs, seen.plug,
                             seen_as(ui, view, &model::Observation::plug));
  number_field(ui, {"record.bonding", owner}, "Bonding", seen.bonding_ohm, "ohm, to the anode",
               seen_as(ui, view, &model::Observation::bonding_ohm));
  text_field(ui, {"record.hose", owner}, "Hose", seen.hose, "size, kind, clamps, age",
             seen_as(ui, view, &model::Observation::hose));
  notes_field(ui, {"record.notes", owner}, "Notes", seen.notes, 3,
              seen_as(ui, view, &model::Observation::notes));
}

void RecordView::draw_backing(const Ui& ui, const app::OpeningView& view) {
  const model::Observation seen = view.observation.value_or(model::Observation{});
  const std::int64_t owner = view.opening.id.value;
  segment_field<model::Backing>(ui, "record.backing", "Backing block", kBackings, seen.backing,
                                seen_as(ui, view, &model::Observation::backing));
  if (seen.backing != model::Backing::Present) return;
  choice_field(ui, {"record.backing_material", owner}, "Block's material",
               rules::choices_of(ui.desk.tables()->backing_materials()), seen.backing_material, "not known",
               seen_as(ui, view, &model::Observation::backing_material));
  length_field(ui, {"record.backing_thickness", owner}, "Block's thickness", seen.backing_thickness_mm,
               Size::Small, seen_as(ui, view, &model::Observation::backing_thickness_mm));
}

void RecordView::draw_measurements(const Ui& ui, const app::OpeningView& view) {
  section(ui, "Measured");
  if (!view.other_photos.empty()) {
    const Action& compare = action("compare.open");
    if (button(ui, "record.compare", "Compare its photos of two surveys…", compare.enabled(ui.desk),
               keys_of(compare.id)))
      ui.ask(compare.intent(ui.desk));
    hint("Side by side, one over the other, and what has changed on the hull between them");
  }
  if (view.measurements.empty()) soft_wrapped(ui, "Nothing yet. Take a photo in, or type what a tool says.");
  const ImGuiTableFlags flags = ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH;
  if (!view.measurements.empty() && ImGui::BeginTable("measured", 4, flags)) {
    ImGui::TableSetupColumn("what", 0, 1.55F);
    ImGui::TableSetupColumn("value", 0, 1.35F);
    ImGui::TableSetupColumn("how", 0, 1.0F);
    ImGui::TableSetupColumn("x", ImGuiTableColumnFlags_WidthFixed, ui.px(64));
    for (const model::Measurement& m : view.measurements) {
      const bool old = ui.desk.logbook()->survey && m.survey != *ui.desk.logbook()->survey;
      ImGui::TableNextRow();
      ImGui::TableNextColumn();
      const std::string label =
          m.label.empty() ? std::string(model::label(m.quantity)) : fmt::format("{} layer", m.label);
      cut_text(label, ImGui::GetContentRegionAvail().x);
      ImGui::TableNextColumn();
      ImGui::PushFont(ui.fonts.strong);
      cut_text(show_interval(m.value, m.u95, m.quantity, ui.lengths), ImGui::GetContentRegionAvail().x);
      ImGui::PopFont();
      ImGui::TableNextColumn();
      ImGui::PushStyleColor(ImGuiCol_Text, ui.colours.soft.vec());
      cut_text(fmt::format("{}{}", old ? "earlier, " : "", model::label(m.method)),
               ImGui::GetContentRegionAvail().x);
      ImGui::PopStyleColor();
      if (!m.note.empty() || !m.instrument.empty())
        hint(m.note.empty() ? m.instrument : m.instrument + "\n" + m.note);
      ImGui::TableNextColumn();
      if (ui.editable && link(ui, fmt::format("record.withdraw.{}", m.id.value), "withdraw"))
        ui.ask(WithdrawMeasurement{m.id});
      hint("It no longer counts, but is kept. Ctrl+Z brings it back.");
    }
    ImGui::EndTable();
  }
  if (!view.measurements.empty()) {
    if (link(ui, "record.trends", "Over the seasons")) ui.ask(ShowBeside{Beside::Trends});
    hint("What changed, how fast, and whether the change is real.");
  }
  if (ui.editable) draw_typing(ui, view);
}

void RecordView::draw_typing(const Ui& ui, const app::OpeningView& view) {
  if (typed_for_ != view.opening.id.value) {
    typed_for_ = view.opening.id.value;
    typed_.clear();
    typed_u95_.clear();
  }
  field_label(ui, "Type a value");
  const bool roomy = ImGui::GetContentRegionAvail().x > ui.px(330);
  ImGui::SetNextItemWidth(roomy ? ImGui::GetContentRegionAvail().x * 0.56F : -FLT_MIN);
  if (const auto picked =
          pick_list(ui, "record.type.quantity", some_of(kTypable), index_in(kTypable, quantity_)))
    quantity_ = kTypable[*picked];
  roomy ? ImGui::SameLine() : field_label(ui, "with");
  ImGui::SetNextItemWidth(-FLT_MIN);
  if (const auto picked = pick_list(ui, "record.type.method", some_of(kMethods), index_in(kMethods, method_)))
    method_ = kMethods[*picked];
  if (quantity_ == Quantity::LayerThickness) {
    constexpr std::array<Option, 3> kLayers = {
        {{"gelcoat", "gelcoat"}, {"laminate", "laminate"}, {"core", "core"}}};
    field_label(ui, "Layer");
    std::size_t lit = 1;
    for (std::size_t i = 0; i < kLayers.size(); ++i)
      if (kLayers[i].key == layer_) lit = i;
    if (const auto picked = segments(ui, "record.type.layer", kLayers, lit)) layer_ = kLayers[*picked].key;
  }
  field_label(ui, "");
  ImGui::SetNextItemWidth(ui.px(120));
  if (ui.focus == "record.type.value") {
    ImGui::SetKeyboardFocusHere();
    ImGui::SetScrollHereY(0.5F);
    ui.focus.clear();
  }
  ImGui::PushStyleColor(ImGuiCol_Border, ui.colours.edge.vec());
  const bool entered =
      ImGui::InputTextWithHint("##typed", ui.lengths == units::LengthSystem::Metric ? "14.8 mm" : "5/8 in",
                               &typed_, ImGuiInputTextFlags_EnterReturnsTrue);
  ImGui::PopStyleColor();
  hooks::note("record.type.value");
  ImGui::SameLine();
  const bool pressed = main_button(ui, "record.type.record", "Record", !typed_.empty());
  if ((entered || pressed) && !typed_.empty()) record_typed(ui, view);
  const bool is_length = model::unit_of(quantity_) == "mm";
  bool trouble = false;
  const std::string reading =
      is_length ? reading_of(typed_, ui.lengths, Size::Small, trouble) : std::string();
  if (reading.empty()) return;
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  ImGui::PushStyleColor(ImGuiCol_Text, (trouble ? ui.colours.act.ink : ui.colours.soft).vec());
  cut_text(reading, ImGui::GetContentRegionAvail().x);
  ImGui::PopStyleColor();
}

// A bare number means the unit the window works in; the record is told which.
void RecordView::record_typed(const Ui& ui, const app::OpeningView& view) {
  std::string text = typed_;
  if (model::unit_of(quantity_) == "mm") {
    const auto read = read_length(typed_, ui.lengths, Size::Small);
    if (!read) return;  // what is wrong stands beside the field
    if (!read->stated && read->system == units::LengthSystem::Inch) text += " in";
  }
  ui.ask(TypeMeasurement{view.opening.id, quantity_, text, method_, std::nullopt, layer_});
  typed_.clear();
}

void RecordView::draw_place(const Ui& ui, const app::OpeningView& view) {
  const model::Opening& o = view.opening;
  const std::int64_t owner = o.id.value;
  section(ui, "Where it is");
  text_field(ui, {"record.tag", owner}, "Tag", o.tag, "P-03", placed_as(ui, view, &model::Opening::tag));
  choice_field(ui, {"record.service", owner}, "Service", ui.desk.tables()->services(), o.service,
               "not recorded", placed_as(ui, view, &model::Opening::service));
  constexpr std::array<Option, 3> kSides = {
      {{"port", "port"}, {"starboard", "starboard"}, {"centreline", "centreline"}}};
  segment_field<model::Side>(ui, "record.side", "Side", kSides, o.side,
                             placed_as(ui, view, &model::Opening::side));
  length_field(ui, {"record.from_bow", owner}, "From the bow", o.from_bow_mm, Size::Hull,
               placed_as(ui, view, &model::Opening::from_bow_mm));
  length_field(ui, {"record.height", owner}, "Above waterline", o.height_mm, Size::Small,
               placed_as(ui, view, &model::Opening::height_mm));
  hint("The lowest point of the hole above the water at rest; under water with a minus.");
  length_field(ui, {"record.half_breadth", owner}, "From centreline", o.half_breadth_mm, Size::Hull,
               placed_as(ui, view, &model::Opening::half_breadth_mm));
  enum_list_field<model::HullConstruction>(ui, {"record.construction", owner}, "Hull here", o.construction,
                                           placed_as(ui, view, &model::Opening::construction));
  notes_field(ui, {"record.place_notes", owner}, "How to find it", o.notes, 2,
              placed_as(ui, view, &model::Opening::notes));
}

}  // namespace spile::gui
