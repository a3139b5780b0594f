// spile run, spile bilge
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/fields.hpp"
#include "app/cli/print_water.hpp"
#include "units/text.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag, name;
  bool from_template = false, remove = false, turned = false;
  Given rename, outlet_height, basin_depth, from_centreline, joins, notes;
  std::optional<double> basin_litres;
  std::optional<int> behind, at, change, take_out;
  Given add, bore, length, rise, curve, part_note;
  std::optional<double> bends;
};

Result<const RunView*> run_of(const Session& session, model::OpeningId opening, const std::string& name) {
  std::vector<const RunView*> found;
  std::string names;
  for (const auto& run : session.snapshot().water.runs) {
    if (run.run.opening != opening) continue;
    names += (names.empty() ? "" : ", ") + (run.run.name.empty() ? "(no name)" : run.run.name);
    if (name.empty() || folded(run.run.name) == folded(trimmed(name))) found.push_back(&run);
  }
  if (found.size() == 1) return found.front();
  if (found.empty() && names.empty())
    return fail(ErrorCode::NotFound, "There is no run of that opening yet.",
                "Begin one with --template or --add.");
  return fail(ErrorCode::BadInput,
              found.empty() ? fmt::format("There is no run {} of that opening.", name)
                            : std::string("Several runs end in that opening."),
              fmt::format("Name one with --name: {}.", names));
}

Result<void> read_part(const Options& o, const rules::Stock& stock, model::RunPart& part) {
  Fields fields;
  if (o.add) {
    if (stock.part(*o.add) == nullptr)
      return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not in the table of parts.", *o.add),
                  "\"spile parts\" lists them.");
    part.part = *o.add;
  }
  fields.length(o.bore, part.bore_mm)
      .length(o.length, part.length_mm)
      .length(o.rise, part.rise_mm)
      .text(o.curve, part.curve)
      .text(o.part_note, part.note);
  if (o.bends) part.bends = o.bends;
  if (o.turned) part.turned = !part.turned;
  return fields.understood();
}

Result<std::size_t> position(int number, std::size_t count, std::string_view of) {
  if (number >= 1 && static_cast<std::size_t>(number) <= count) return static_cast<std::size_t>(number - 1);
  return fail(ErrorCode::BadInput, fmt::format("There is no part {} in {}.", number, of),
              fmt::format("It has {} parts.", count));
}

Result<void> change_parts(const Options& o, const rules::Stock& stock, model::Run& run) {
  if (o.take_out) {
    const auto at = position(*o.take_out, run.parts.size(), "the run");
    if (!at) return tl::unexpected(at.error());
    run.parts.erase(run.parts.begin() + static_cast<std::ptrdiff_t>(*at));
  }
  if (o.change) {
    const auto at = position(*o.change, run.parts.size(), "the run");
    if (!at) return tl::unexpected(at.error());
    return read_part(o, stock, run.parts[*at]);
  }
  if (!o.add) return {};
  model::RunPart part;
  if (auto ok = read_part(o, stock, part); !ok) return ok;
  const auto at =
      position(o.at.value_or(static_cast<int>(run.parts.size()) + 1), run.parts.size() + 1, "the run");
  if (!at) return tl::unexpected(at.error());
  run.parts.insert(run.parts.begin() + static_cast<std::ptrdiff_t>(*at), part);
  return {};
}

Result<void> join(const Session& session, const Options& o, model::Run& run) {
  if (!o.joins) return {};
  if (folded(*o.joins) == "none") {
    run.joins.reset();
    return {};
  }
  for (const auto& other : session.snapshot().water.runs) {
    if (folded(other.run.name) != folded(trimmed(*o.joins))) continue;
    run.joins = model::RunJoin{other.run.id, o.behind.value_or(1) - 1};
    return {};
  }
  return fail(ErrorCode::NotFound, fmt::format("There is no run named {}.", *o.joins),
              "\"spile runs\" shows those there are.");
}

Result<void> change(Session& session, const Options& o, model::Run run, const Console& console) {
  Fields fields;
  fields.text(o.rename, run.name)
      .length(o.outlet_height, run.outlet_height_mm)
      .length(o.basin_depth, run.basin_depth_mm)
      .length(o.from_centreline, run.from_centreline_mm)
      .text(o.notes, run.notes);
  if (auto ok = fields.understood(); !ok) return ok;
  if (o.basin_litres) run.basin_litres = o.basin_litres;
  if (auto ok = join(session, o, run); !ok) return ok;
  if (auto ok = change_parts(o, session.stock(), run); !ok) return ok;
  return record_edit(session, console, [&]() -> Result<void> {
    auto saved = session.save_run(run);
    if (!saved) return tl::unexpected(std::move(saved.error()));
    return {};
  });
}

Result<void> act(Session& session, const Options& o, const Console& console) {
  const auto view = opening_by_tag(session, o.tag);
  if (!view) return tl::unexpected(view.error());
  const auto opening = (*view)->opening.id;
  if (o.from_template) {
    auto begun = record_edit(session, console, [&]() -> Result<void> {
      auto id = session.start_run(opening, o.name);
      if (!id) return tl::unexpected(std::move(id.error()));
      return {};
    });
    if (!begun) return begun;
  }
  const auto known = run_of(session, opening, o.name);
  if (!known && (known.error().code == ErrorCode::NotFound || !o.name.empty()) && o.add) {
    model::Run run;
    run.opening = opening;
    run.name = o.name;
    return change(session, o, run, console);
  }
  if (!known) return tl::unexpected(known.error());
  if (o.remove) {
    const auto id = (*known)->run.id;
    return record_edit(session, console, [&] { return session.remove_run(id); });
  }
  const auto id = (*known)->run.id;
  if (!o.from_template || o.add || o.change || o.outlet_height || o.basin_depth || o.basin_litres ||
      o.from_centreline)
    if (auto done = change(session, o, (*known)->run, console); !done) return done;
  print_run(console.out, *session.snapshot().water.find(id));
  return {};
}

void add_part_options(CLI::App& command, Options& o) {
  const auto group = [](CLI::Option* option) { option->group("A part"); };
  group(command.add_option("--add", o.add, "Add this part, a key of \"spile parts\"")->type_name("PART"));
  group(command.add_option("--at", o.at, "Add it as number N (at the end if left out)")->type_name("N"));
  group(command.add_option("--change", o.change, "Change part number N")->type_name("N"));
  group(command.add_option("--take-out", o.take_out, "Take part number N out")->type_name("N"));
  group(command.add_option("--bore", o.bore, "Its bore as measured")->type_name("LENGTH"));
  group(command.add_option("--length", o.length, "Its length")->type_name("LENGTH"));
  group(command.add_option("--rise", o.rise, "How far it rises toward the opening; falling: negative")
            ->type_name("LENGTH"));
  group(command.add_option("--bends", o.bends, "Swept turns, in right angles")->type_name("N"));
  group(command.add_option("--curve", o.curve, "A pump's own curve: \"0 m 69 L/min; 3.7 m 0\""));
  group(command.add_flag("--turned", o.turned, "It lies the other way round"));
  group(command.add_option("--part-note", o.part_note, "A note on the part"));
}

struct BilgeOptions {
  LogbookArguments logbook;
  std::optional<double> sole, waterplane;
  Given pumps;
};

Result<void> save_bilge(Session& session, const BilgeOptions& o, const Console& console) {
  model::Bilge bilge = session.snapshot().bilge;
  if (o.sole) bilge.sole_litres = o.sole;
  if (o.waterplane) bilge.waterplane_m2 = o.waterplane;
  if (o.pumps) {
    const auto flow = units::parse_flow(*o.pumps);
    if (!flow) return tl::unexpected(flow.error());
    bilge.other_pumps_lpm = flow->value();
  }
  return record_edit(session, console, [&] { return session.save_bilge(bilge); });
}

}  // namespace

void add_run(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "run", "Begin or change a run of hose and parts, and show it",
                              "spile run heron.spile S-02 --template --name \"galley sink\"\n"
                              "  spile run heron.spile S-02 --change 2 --length \"1.4 m\" --bends 3");
  add_logbook(*command, o->logbook);
  command->add_option("TAG", o->tag, "The opening it ends in")->required();
  command->add_option("--name", o->name, "Which of several runs; the name of a new one");
  command->add_flag("--template", o->from_template, "Begin with what such a service usually is made of");
  command->add_flag("--remove", o->remove, "Remove the run (undo brings it back)");
  command->add_option("--rename", o->rename, "A new name");
  command->add_option("--outlet-height", o->outlet_height, "Where it starts, above the waterline at rest")
      ->type_name("LENGTH");
  command->add_option("--basin-depth", o->basin_depth, "From there to the fixture's rim")
      ->type_name("LENGTH");
  command->add_option("--basin", o->basin_litres, "Litres the fixture holds")->type_name("L");
  command->add_option("--from-centreline", o->from_centreline, "Of the fixture, toward the opening's side")
      ->type_name("LENGTH");
  command->add_option("--joins", o->joins, "It ends in the run of this name; none: no longer")
      ->type_name("NAME");
  command->add_option("--behind", o->behind, "At that run's part number N, a tee")->type_name("N");
  command->add_option("--notes", o->notes, "Notes");
  add_part_options(*command, *o);
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return act(session, *o, console); });
  });
}

void add_bilge(CLI::App& app, Console& console) {
  auto o = std::make_shared<BilgeOptions>();
  auto* command =
      add_command(app, "bilge", "Record what she holds before the sole is wet, and what pumps it out",
                  "spile bilge heron.spile --sole 420 --pumps \"25 L/min\"");
  add_logbook(*command, o->logbook);
  command->add_option("--sole", o->sole, "Litres that cover the cabin sole")->type_name("L");
  command->add_option("--waterplane", o->waterplane, "Waterplane in square metres")->type_name("M2");
  command->add_option("--pumps", o->pumps, "Pumps without a run of their own, as they deliver")
      ->type_name("FLOW");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing,
                 [&](Session& session) { return save_bilge(session, *o, console); });
  });
}

}  // namespace spile::app::cli
