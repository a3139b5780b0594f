// The record's fitting, the one to go in next, and the room around it.
#include <fmt/format.h>

#include "gui/test_hooks.hpp"
#include "gui/views/record.hpp"
#include "gui/views/record_fields.hpp"
#include "gui/widgets/text.hpp"

namespace spile::gui {

namespace {

constexpr std::array<Option, 4> kReaches = {{{"unknown", "not known"},
                                             {"readily", "at once"},
                                             {"with-tools", "with tools"},
                                             {"by-dismantling", "by dismantling"}}};

}  // namespace

void RecordView::draw_fitting(const Ui& ui, const app::OpeningView& view) {
  const model::Fitting f = view.fitting.value_or(model::Fitting{});
  const std::int64_t owner = view.opening.id.value;
  section(ui, "Fitting");
  draw_usual(ui, view);
  choice_field(ui, {"record.fitting_kind", owner}, "Kind", ui.desk.tables()->fitting_kinds(), f.kind,
               "not known", fitted_as(ui, view, &model::Fitting::kind));
  choice_field(ui, {"record.fitting_made_of", owner}, "Made of", ui.desk.tables()->materials(), f.material,
               "not known", fitted_as(ui, view, &model::Fitting::material));
  text_field(ui, {"record.fitting_size", owner}, "Nominal size", f.nominal_size, "as sold: 1-1/2 in, 38 mm",
             fitted_as(ui, view, &model::Fitting::nominal_size));
  choice_field(ui, {"record.fitting_thread", owner}, "Thread", rules::choices_of(ui.desk.tables()->threads()),
               f.thread, "not known", fitted_as(ui, view, &model::Fitting::thread));
  choice_field(ui, {"record.valve_thread", owner}, "Valve's thread",
               rules::choices_of(ui.desk.tables()->threads()), f.valve_thread, "not known",
               fitted_as(ui, view, &model::Fitting::valve_thread));
  choice_field(ui, {"record.valve_made_of", owner}, "Valve made of", ui.desk.tables()->materials(),
               f.valve_material, "not known", fitted_as(ui, view, &model::Fitting::valve_material));
  choice_field(ui, {"record.tail_made_of", owner}, "Tail made of", ui.desk.tables()->materials(),
               f.tail_material, "not known", fitted_as(ui, view, &model::Fitting::tail_material));
  choice_field(ui, {"record.bedding", owner}, "Bedded in", rules::choices_of(ui.desk.tables()->beddings()),
               f.bedding, "not known", fitted_as(ui, view, &model::Fitting::bedding));
  length_field(ui, {"record.shank", owner}, "Stem across", f.shank_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::shank_mm));
  hint("Outside diameter of the threaded stem, by caliper.");
  length_field(ui, {"record.thread_length", owner}, "Thread's length", f.thread_length_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::thread_length_mm));
  hint("From under the flange to the end of the stem.");
  length_field(ui, {"record.nut", owner}, "Nut's thickness", f.nut_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::nut_mm));
  hint("Of the nut, or how much thread the valve takes up.");
  text_field(ui, {"record.fitting_fitted", owner}, "Fitted", f.fitted, "year or date",
             fitted_as(ui, view, &model::Fitting::fitted));
  notes_field(ui, {"record.fitting_notes", owner}, "Notes", f.notes, 2,
              fitted_as(ui, view, &model::Fitting::notes));
}

// One press fills in what usually serves it; what somebody has recorded already stays.
void RecordView::draw_usual(const Ui& ui, const app::OpeningView& view) {
  const auto* service = ui.desk.tables()->service(view.opening.service);
  const model::Fitting f = view.fitting.value_or(model::Fitting{});
  const bool wanting = f.kind.empty() && f.nominal_size.empty();
  if (!ui.editable || !service || service->usual_kind.empty() || !wanting) return;
  const auto kind = rules::label_of(ui.desk.tables()->fitting_kinds(), service->usual_kind);
  const std::string usual =
      service->usual_size.empty() ? std::string(kind) : fmt::format("{}, {}", kind, service->usual_size);
  field_label(ui, "Usual here");
  if (button(ui, "record.usual", usual.c_str(), true))
    ui.ask(ChangeFitting{view.opening.id,
                         [kind = service->usual_kind, size = service->usual_size](model::Fitting& fitting) {
                           fitting.kind = kind;
                           fitting.nominal_size = size;
                         }});
  hint("Fills in kind and size; correct what is otherwise.");
}

void RecordView::draw_next(const Ui& ui, const app::OpeningView& view) {
  const model::Fitting f = view.fitting.value_or(model::Fitting{});
  const std::int64_t owner = view.opening.id.value;
  section(ui, "To go in next");
  const auto set = [&]<class T>(T model::Replacement::*member) {
    return std::function<void(T)>([intents = &ui.intents, opening = view.opening.id, member](T value) {
      intents->push(
          ChangeFitting{opening, [member, value](model::Fitting& fitting) { fitting.next.*member = value; }});
    });
  };
  text_field(ui, {"record.next_size", owner}, "Nominal size", f.next.nominal_size, "as sold: 1 in, 25 mm",
             set(&model::Replacement::nominal_size));
  choice_field(ui, {"record.next_made_of", owner}, "Made of", ui.desk.tables()->materials(), f.next.material,
               "not chosen", set(&model::Replacement::material));
  length_field(ui, {"record.next_shank", owner}, "Stem across", f.next.shank_mm, Size::Small,
               set(&model::Replacement::shank_mm));
  length_field(ui, {"record.next_flange", owner}, "Flange across", f.next.flange_mm, Size::Small,
               set(&model::Replacement::flange_mm));
  length_field(ui, {"record.next_thread", owner}, "Thread's length", f.next.thread_length_mm, Size::Small,
               set(&model::Replacement::thread_length_mm));
}

void RecordView::draw_room(const Ui& ui, const app::OpeningView& view) {
  const model::Opening& o = view.opening;
  const model::Fitting f = view.fitting.value_or(model::Fitting{});
  const std::int64_t owner = o.id.value;
  section(ui, "Room and access");
  segment_field<model::Reach>(ui, "record.reach", "Reached", kReaches, o.reach,
                              placed_as(ui, view, &model::Opening::reach));
  number_field(ui, {"record.reach_s", owner}, "Time to reach it", o.reach_s, "s, to the valve shut",
               placed_as(ui, view, &model::Opening::reach_s));
  length_field(ui, {"record.clear_depth", owner}, "Room inwards", o.clear_depth_mm, Size::Small,
               placed_as(ui, view, &model::Opening::clear_depth_mm));
  hint("Clear, square off the inside of the hull.");
  length_field(ui, {"record.clear_width", owner}, "Room across", o.clear_width_mm, Size::Small,
               placed_as(ui, view, &model::Opening::clear_width_mm));
  hint("Clear, where a spanner has to turn.");
  length_field(ui, {"record.stack", owner}, "Height inside", f.stack_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::stack_mm));
  hint("From the hull or block to the top of the valve.");
  length_field(ui, {"record.tail", owner}, "Hose tail", f.tail_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::tail_mm));
  length_field(ui, {"record.hose_bore", owner}, "Hose bore", f.bore_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::bore_mm));
  length_field(ui, {"record.hose_bend", owner}, "Hose bend", f.bend_mm, Size::Small,
               fitted_as(ui, view, &model::Fitting::bend_mm));
  hint("Least radius its maker allows.");
  length_field(ui, {"record.hull_radius", owner}, "Hull's curve", o.hull_radius_mm, Size::Hull,
               placed_as(ui, view, &model::Opening::hull_radius_mm));
  hint("Radius inside, the tightest way across.");
  length_field(ui, {"record.frame", owner}, "To a frame", o.frame_mm, Size::Small,
               placed_as(ui, view, &model::Opening::frame_mm));
}

}  // namespace spile::gui
