// spile observe
#include <memory>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  Given seen, condition, waterline, material, valve, valve_kind, backing, backing_material, backing_thickness,
      findings, clips, plug, bonding, hose, notes;
};

Result<void> record(Session& session, const Options& o, const Console& console) {
  const auto view = opening_by_tag(session, o.tag);
  if (!view) return tl::unexpected(view.error());
  model::Observation seen = (*view)->observation.value_or(model::Observation{});
  seen.opening = (*view)->opening.id;
  if (!o.seen) seen.seen = model::Seen::Looked;
  const auto backings = rules::choices_of(session.tables().backing_materials());
  Fields fields;
  fields.choice(o.seen, "way of having looked", seen.seen)
      .choice(o.condition, "condition", seen.condition)
      .choice(o.waterline, "place at the waterline", seen.waterline)
      .row(o.material, "material", session.tables().materials(), seen.fitting_material)
      .choice(o.valve, "state of a valve", seen.valve)
      .row(o.valve_kind, "kind of valve", session.tables().valve_kinds(), seen.valve_kind)
      .choice(o.backing, "state of a backing", seen.backing)
      .row(o.backing_material, "backing material", backings, seen.backing_material)
      .length(o.backing_thickness, seen.backing_thickness_mm)
      .rows(o.findings, "finding", rules::choices_of(session.tables().findings()), seen.findings)
      .number(o.clips, "clips", seen.clips)
      .choice(o.plug, "state of a plug", seen.plug)
      .number(o.bonding, "ohms", seen.bonding_ohm)
      .text(o.hose, seen.hose)
      .text(o.notes, seen.notes);
  if (auto understood = fields.understood(); !understood) return understood;
  return record_edit(session, console, [&] { return session.save_observation(seen); });
}

}  // namespace

void add_observe(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "observe", "Record what was seen of an opening in the survey",
                  "spile observe heron.spile P-03 --condition worn --valve stiff --backing present");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "The opening")->required();
  command->add_option("--condition", o->condition, keys_of<model::Condition>());
  command->add_option("--waterline", o->waterline, keys_of<model::Waterline>());
  command->add_option("--material", o->material, "Material of the fitting, as seen");
  command->add_option("--valve", o->valve, keys_of<model::ValveState>());
  command->add_option("--valve-kind", o->valve_kind, "Kind of valve");
  command->add_option("--backing", o->backing, keys_of<model::Backing>());
  command->add_option("--backing-material", o->backing_material, "What the backing block is made of");
  command->add_option("--backing-thickness", o->backing_thickness, "How thick it is")->type_name("LENGTH");
  command->add_option("--findings", o->findings,
                      "What was found, a comma between two; \"spile rules\" lists them");
  command->add_option("--clips", o->clips, "Hose clips on the tail")->type_name("COUNT");
  command->add_option("--plug", o->plug, keys_of<model::Plug>());
  command->add_option("--bonding", o->bonding, "From the fitting to the anode")->type_name("OHM");
  command->add_option("--hose", o->hose, "The hose on it");
  command->add_option("--seen", o->seen, keys_of<model::Seen>());
  command->add_option("--note,--notes", o->notes, "Notes");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return record(session, *o, console); });
  });
}

}  // namespace spile::app::cli
