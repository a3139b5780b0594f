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
  Given kind, material, size, thread, fitted, fitting_notes;
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
  Fields fields;
  fields.row(o.kind, "kind of fitting", session.tables().fitting_kinds(), fitting.kind)
      .row(o.material, "material", session.tables().materials(), fitting.material)
      .text(o.size, fitting.nominal_size)
      .text(o.thread, fitting.thread)
      .text(o.fitted, fitting.fitted)
      .text(o.fitting_notes, fitting.notes);
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
  add_fitting_options(*command, *o);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return run(session, *o, console); });
  });
}

}  // namespace spile::app::cli
