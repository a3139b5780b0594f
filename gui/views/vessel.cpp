#include "gui/views/vessel.hpp"

#include <fmt/format.h>

#include "gui/desk.hpp"
#include "gui/test_hooks.hpp"
#include "gui/widgets/fields.hpp"
#include "gui/widgets/page.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

template <class T>
std::function<void(T)> set(const Ui& ui, T model::Vessel::*member) {
  return [intents = &ui.intents, member](T value) {
    intents->push(ChangeVessel{[member, value](model::Vessel& vessel) { vessel.*member = value; }});
  };
}

template <class T>
std::function<void(T)> set(const Ui& ui, model::SurveyId survey, T model::Survey::*member) {
  return [intents = &ui.intents, survey, member](T value) {
    intents->push(ChangeSurvey{survey, [member, value](model::Survey& s) { s.*member = value; }});
  };
}

void draw_sizes(const Ui& ui, const model::Vessel& v) {
  section(ui, "Sizes");
  length_field(ui, {"vessel.length", 1}, "Hull length", v.length_mm, Size::Hull,
               set(ui, &model::Vessel::length_mm));
  length_field(ui, {"vessel.beam", 1}, "Beam", v.beam_mm, Size::Hull, set(ui, &model::Vessel::beam_mm));
  length_field(ui, {"vessel.draught", 1}, "Draught", v.draught_mm, Size::Hull,
               set(ui, &model::Vessel::draught_mm));
  length_field(ui, {"vessel.freeboard", 1}, "Freeboard", v.freeboard_mm, Size::Hull,
               set(ui, &model::Vessel::freeboard_mm));
  hint("Height of the sheer above the water at rest, amidships.");
}

void draw_afloat(const Ui& ui, const model::Vessel& v) {
  section(ui, "How she floats");
  const auto set_sinkage = set(ui, &model::Vessel::loaded_sinkage_mm);
  length_field(ui, {"vessel.sinkage", 1}, "Deeper when laden", v.loaded_sinkage_mm, Size::Small,
               [set_sinkage](std::optional<double> mm) { set_sinkage(mm.value_or(0)); });
  angle_field(ui, {"vessel.heel", 1}, "Worst heel", v.heel_deg,
              "degrees; left empty, the usual one for her type", set(ui, &model::Vessel::heel_deg));
  angle_field(ui, {"vessel.trim", 1}, "Worst trim", v.trim_deg,
              "degrees, bow or stern down; left empty, none", set(ui, &model::Vessel::trim_deg));
  soft_wrapped(ui,
               "Heights of openings are measured from the waterline at rest. From these numbers follows "
               "which openings "
               "go under when she is laden or heeled.");
}

}  // namespace

void draw_vessel(const Ui& ui) {
  begin_page(ui, "vessel");
  const model::Vessel v = ui.desk.logbook()->vessel.value_or(model::Vessel{});
  heading(ui, v.name.empty() ? "The vessel" : v.name.c_str());
  text_field(ui, {"vessel.name", 1}, "Name", v.name, "what she is called", set(ui, &model::Vessel::name));
  enum_field<model::VesselType>(ui, {"vessel.type", 1}, "Type", v.type, set(ui, &model::Vessel::type));
  enum_list_field<model::HullConstruction>(ui, {"vessel.construction", 1}, "Hull", v.construction,
                                           set(ui, &model::Vessel::construction));
  text_field(ui, {"vessel.built", 1}, "Built", v.built, "year or period", set(ui, &model::Vessel::built));
  draw_sizes(ui, v);
  draw_afloat(ui, v);
  ImGui::Dummy({0, ui.px(4)});
  notes_field(ui, {"vessel.notes", 1}, "Notes", v.notes, 4, set(ui, &model::Vessel::notes));
  ImGui::Dummy({0, ui.px(8)});
  const bool first = ui.desk.logbook()->openings.empty();
  if (first) {
    if (main_button(ui, "vessel.add_opening", "Go on: add the first opening", ui.editable, "Ctrl+N"))
      ui.ask(AddOpening{});
  } else if (main_button(ui, "vessel.done", "Back to the openings", true, "F2")) {
    ui.ask(ShowPage{Page::Desk});
  }
  ImGui::EndChild();
}

void draw_surveys(const Ui& ui) {
  begin_page(ui, "surveys");
  heading(ui, "Surveys");
  soft_wrapped(ui, "One visit on one date. What is seen and photographed belongs to the survey that is lit.");
  ImGui::Dummy({0, ui.px(4)});
  if (button(ui, "surveys.begin", "Begin a survey today", ui.editable)) ui.ask(BeginSurvey{});
  ImGui::SameLine();
  if (button(ui, "surveys.from_last", "Begin one from the last",
             ui.editable && !ui.desk.logbook()->surveys.empty()))
    ui.ask(BeginSurveyFromLast{});
  hint(
      "All that was put down is carried over, to be confirmed; nothing counts as seen. F6 shows the walk "
      "round.");
  const auto& logbook = *ui.desk.logbook();
  for (auto it = logbook.surveys.rbegin(); it != logbook.surveys.rend(); ++it) {
    const model::Survey& s = *it;
    const bool lit = logbook.survey == s.id;
    ImGui::PushID(static_cast<int>(s.id.value));
    section(ui, fmt::format("{}{}{}", s.date, s.title.empty() ? "" : "  ·  ", s.title));
    if (lit) {
      ImGui::AlignTextToFramePadding();
      soft_text(ui, "Open now");
      ImGui::SameLine();
    }
    if (button(ui, fmt::format("surveys.choose.{}", s.id.value),
               lit ? "Back to the openings" : "Open this survey")) {
      if (!lit) ui.ask(ChooseSurvey{s.id});
      ui.ask(ShowPage{Page::Desk});
    }
    if (lit) {
      text_field(ui, {"survey.date", s.id.value}, "Date", s.date, "2026-04-12",
                 set(ui, s.id, &model::Survey::date));
      text_field(ui, {"survey.title", s.id.value}, "Title", s.title, "Spring 2026",
                 set(ui, s.id, &model::Survey::title));
      text_field(ui, {"survey.surveyor", s.id.value}, "Surveyor", s.surveyor, "who looked",
                 set(ui, s.id, &model::Survey::surveyor));
      enum_field<model::Afloat>(ui, {"survey.afloat", s.id.value}, "She was", s.afloat,
                                set(ui, s.id, &model::Survey::afloat));
      notes_field(ui, {"survey.notes", s.id.value}, "Notes", s.notes, 3,
                  set(ui, s.id, &model::Survey::notes));
    }
    ImGui::PopID();
  }
  if (logbook.surveys.empty())
    soft_wrapped(ui, "None yet. One is begun by itself when the first opening is added.");
  ImGui::EndChild();
}

}  // namespace spile::gui
