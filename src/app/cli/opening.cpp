// spile opening
#include <memory>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  bool remove = false;
  Given rename, service, side, from_bow, height, half_breadth, construction, notes;
  Given hull_radius, frame, clear_depth, clear_width, reach, reach_time;
  Given kind, material, size, thread, fitted, fitting_notes;
  Given valve_thread, valve_material, tail_material, bedding;
  Given shank, thread_length, nut, stack, tail, hose_bore, hose_bend;
  Given next_size, next_material, next_shank, next_flange, next_thread_length;
};

Result<void> save_opening(Session& session, const Options& o, const Console& console) {
  const auto known = opening_by_tag(session, o.tag);
  const OpeningView* view = known ? *known : nullptr;
  model::Opening opening = view == nullptr ? model::Opening{} : view->opening;
  if (view == nullptr) opening.tag = o.tag;
  Fields fields;
  fields.text(o.rename, opening.tag)
      .row(o.service, "service", session.tables().services(), opening.service)
      .choice(o.side, "side", opening.side)
      .length(o.from_bow, opening.from_bow_mm)
      .length(o.height, opening.height_mm)
      .length(o.half_breadth, opening.half_breadth_mm)
      .choice(o.construction, "construction", opening.construction)
      .length(o.hull_radius, opening.hull_radius_mm)
      .length(o.frame, opening.frame_mm)
      .length(o.clear_depth, opening.clear_depth_mm)
      .length(o.clear_width, opening.clear_width_mm)
      .choice(o.reach, "way to reach it", opening.reach)
      .number(o.reach_time, "seconds", opening.reach_s)
      .text(o.notes, opening.notes);
  if (auto understood = fields.understood(); !understood) return understood;
  if (view != nullptr && !fields.anything_given()) return {};
  return record_edit(session, console, [&]() -> Result<void> {
    auto saved = session.save_opening(opening);
    if (!saved) return tl::unexpected(std::move(saved.error()));
    return {};
  });
}

Result<void> save_fitting(Session& session, const Options& o, const Console& console) {
  const auto view = opening_by_tag(session, o.rename.value_or(o.tag));
  if (!view) return tl::unexpected(view.error());
  model::Fitting fitting = (*view)->fitting.value_or(model::Fitting{});
  fitting.opening = (*view)->opening.id;
  const auto& tables = session.tables();
  Fields fields;
  fields.row(o.kind, "kind of fitting", tables.fitting_kinds(), fitting.kind)
      .row(o.material, "material", tables.materials(), fitting.material)
      .text(o.size, fitting.nominal_size)
      .row(o.thread, "thread", rules::choices_of(tables.threads()), fitting.thread)
      .text(o.fitted, fitting.fitted)
      .text(o.fitting_notes, fitting.notes)
      .row(o.valve_thread, "thread", rules::choices_of(tables.threads()), fitting.valve_thread)
      .row(o.valve_material, "material", tables.materials(), fitting.valve_material)
      .row(o.tail_material, "material", tables.materials(), fitting.tail_material)
      .row(o.bedding, "bedding", rules::choices_of(tables.beddings()), fitting.bedding)
      .length(o.shank, fitting.shank_mm)
      .length(o.thread_length, fitting.thread_length_mm)
      .length(o.nut, fitting.nut_mm)
      .length(o.stack, fitting.stack_mm)
      .length(o.tail, fitting.tail_mm)
      .length(o.hose_bore, fitting.bore_mm)
      .length(o.hose_bend, fitting.bend_mm)
      .text(o.next_size, fitting.next.nominal_size)
      .row(o.next_material, "material", tables.materials(), fitting.next.material)
      .length(o.next_shank, fitting.next.shank_mm)
      .length(o.next_flange, fitting.next.flange_mm)
      .length(o.next_thread_length, fitting.next.thread_length_mm);
  if (auto understood = fields.understood(); !understood) return understood;
  if (!fields.anything_given()) return {};
  return record_edit(session, console, [&] { return session.save_fitting(fitting); });
}

Result<void> run(Session& session, const Options& o, const Console& console) {
  if (o.remove) {
    const auto view = opening_by_tag(session, o.tag);
    if (!view) return tl::unexpected(view.error());
    const auto id = (*view)->opening.id;
    return record_edit(session, console, [&] { return session.remove_opening(id); });
  }
  if (auto saved = save_opening(session, o, console); !saved) return saved;
  return save_fitting(session, o, console);
}

void add_room_options(CLI::App& command, Options& o) {
  const auto add = [&](const char* name, Given& into, const std::string& what) {
    command.add_option(name, into, what)->group("The hull and the room around it");
  };
  add("--hull-radius", o.hull_radius, "Radius of the hull's curve inside, the tightest way across");
  add("--frame", o.frame, "Distance to the nearest frame, bulkhead or stringer");
  add("--clear-depth", o.clear_depth, "Clear room inwards, square off the hull");
  add("--clear-width", o.clear_width, "Clear room across, where a spanner has to turn");
  add("--reach", o.reach, keys_of<model::Reach>());
  add("--reach-time", o.reach_time, "Seconds from the companionway to the valve shut");
}

void add_fitting_options(CLI::App& command, Options& o) {
  const auto add = [&](const char* name, Given& into, const char* what) {
    command.add_option(name, into, what)->group("The fitting in it");
  };
  add("--fitting", o.kind, "Kind of fitting");
  add("--material", o.material, "Material of the fitting");
  add("--size", o.size, "Size as the trade says it: 1-1/2 in");
  add("--thread", o.thread, "Thread");
  add("--fitted", o.fitted, "Year or date it was fitted");
  add("--fitting-notes", o.fitting_notes, "Notes on the fitting");
  add("--valve-thread", o.valve_thread, "Thread of the valve or nut screwed on it");
  add("--valve-material", o.valve_material, "Material of the valve");
  add("--tail-material", o.tail_material, "Material of the hose tail");
  add("--bedding", o.bedding, "What it is bedded in");
  add("--shank", o.shank, "Outside diameter of its threaded stem, by caliper");
  add("--thread-length", o.thread_length, "From under the flange to the end of the stem");
  add("--nut", o.nut, "Thickness of its nut, or what the valve takes up of the thread");
  add("--stack", o.stack, "Height inside, from the hull or block to the top of the valve");
  add("--tail", o.tail, "Length of the hose tail");
  add("--hose-bore", o.hose_bore, "Bore of the hose on it");
  add("--hose-bend", o.hose_bend, "Least radius the hose may be bent to");
}

void add_next_options(CLI::App& command, Options& o) {
  const auto add = [&](const char* name, Given& into, const char* what) {
    command.add_option(name, into, what)->group("The fitting to go in next");
  };
  add("--next-size", o.next_size, "Size as the trade says it: 1 in");
  add("--next-material", o.next_material, "Its material");
  add("--next-shank", o.next_shank, "Outside diameter of its stem");
  add("--next-flange", o.next_flange, "Outside diameter of its flange");
  add("--next-thread-length", o.next_thread_length, "From under its flange to the end of its stem");
}

}  // namespace

void add_opening(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(
      app, "opening", "Add an opening, or change the one of that tag",
      "spile opening heron.spile P-03 --service galley-sink-drain --side port --height \"-120 mm\"");
  add_logbook(*command, o->logbook);
  command->add_option("TAG", o->tag, "A tag of your own: P-03")->required();
  command->add_flag("--remove", o->remove, "Remove it with all that hangs on it (undo brings it back)");
  command->add_option("--rename", o->rename, "A new tag")->type_name("TAG");
  command->add_option("--service", o->service, "What it is for");
  command->add_option("--side", o->side, keys_of<model::Side>());
  command->add_option("--from-bow", o->from_bow, "Distance from the bow along the hull")->type_name("LENGTH");
  command->add_option("--height", o->height, "Lowest point above the waterline at rest; below it: negative")
      ->type_name("LENGTH");
  command->add_option("--half-breadth", o->half_breadth, "Distance from the centreline")->type_name("LENGTH");
  command->add_option("--construction", o->construction, "Here; " + keys_of<model::HullConstruction>());
  command->add_option("--notes", o->notes, "Notes");
  add_room_options(*command, *o);
  add_fitting_options(*command, *o);
  add_next_options(*command, *o);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run(session, *o, console); });
  });
}

}  // namespace spile::app::cli
