// spile vessel
#include <memory>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  Given name, type, construction, length, beam, draught, freeboard, sinkage, heel, trim, built, notes;
};

Result<void> record(Session& session, const Options& o, const Console& console) {
  model::Vessel vessel = session.snapshot().vessel.value_or(model::Vessel{});
  std::optional<double> sinkage = vessel.loaded_sinkage_mm;
  Fields fields;
  fields.text(o.name, vessel.name)
      .choice(o.type, "type of vessel", vessel.type)
      .choice(o.construction, "hull construction", vessel.construction)
      .length(o.length, vessel.length_mm)
      .length(o.beam, vessel.beam_mm)
      .length(o.draught, vessel.draught_mm)
      .length(o.freeboard, vessel.freeboard_mm)
      .length(o.sinkage, sinkage)
      .angle(o.heel, vessel.heel_deg)
      .angle(o.trim, vessel.trim_deg)
      .text(o.built, vessel.built)
      .text(o.notes, vessel.notes);
  if (auto understood = fields.understood(); !understood) return understood;
  vessel.loaded_sinkage_mm = sinkage.value_or(0);
  return record_edit(session, console, [&] { return session.save_vessel(vessel); });
}

}  // namespace

void add_vessel(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "vessel", "Record the vessel; what is left out stays as it is",
                  "spile vessel heron.spile --name Heron --type sail-monohull --length \"9.8 m\"");
  add_logbook(*command, o->logbook);
  command->add_option("--name", o->name, "Her name");
  command->add_option("--type", o->type, keys_of<model::VesselType>());
  command->add_option("--construction", o->construction, keys_of<model::HullConstruction>());
  command->add_option("--length", o->length, "Length of the hull")->type_name("LENGTH");
  command->add_option("--beam", o->beam, "Beam")->type_name("LENGTH");
  command->add_option("--draught", o->draught, "Draught")->type_name("LENGTH");
  command->add_option("--freeboard", o->freeboard, "Sheer above the waterline at rest, amidships")
      ->type_name("LENGTH");
  command->add_option("--sinkage", o->sinkage, "How much deeper she floats fully laden")->type_name("LENGTH");
  command->add_option("--heel", o->heel, "Worst heel; left out: the usual one for the type")
      ->type_name("ANGLE");
  command->add_option("--trim", o->trim, "Worst trim, bow down or stern down")->type_name("ANGLE");
  command->add_option("--built", o->built, "Year or period");
  command->add_option("--notes", o->notes, "Notes");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return record(session, *o, console); });
  });
}

}  // namespace spile::app::cli
