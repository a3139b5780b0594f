// spile flooding
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/print_water.hpp"
#include "app/water_json.hpp"
#include "app/wording.hpp"
#include "hydraulics/flooding.hpp"
#include "units/text.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string bore, depth;
  std::optional<double> cd;
  bool json = false;
};

Result<void> one_hole(const Options& o, const Console& console) {
  const auto bore = units::parse_length(o.bore);
  if (!bore) return tl::unexpected(bore.error());
  const auto depth = units::parse_length(o.depth);
  if (!depth) return tl::unexpected(depth.error());
  const double cd = o.cd.value_or(hydraulics::kSharpEdge);
  if (!(bore->length.value() > 0))
    return fail(ErrorCode::BadInput, fmt::format("A bore of {} lets nothing in.", o.bore),
                "Give one above 0.");
  if (!(cd > 0 && cd <= 1))
    return fail(ErrorCode::BadInput,
                fmt::format("A discharge coefficient of {} cannot be.", print_number(cd, 3)),
                "It lies above 0 and up to 1: 0.61 for a bare hole, 0.82 for a short tube.");
  const double lpm = hydraulics::flooding_rate(bore->length, depth->length, cd).value();
  const std::string source =
      o.cd ? "Q = Cd A sqrt(2 g h), coefficient as given"
           : "Q = Cd A sqrt(2 g h), bare hole with a sharp edge: 0.60 to 0.62 in tables of small orifices";
  if (o.json) {
    const nlohmann::ordered_json answer = {
        {"litres_per_minute", lpm},          {"cd", cd},
        {"bore_mm", bore->length.value()},   {"depth_mm", depth->length.value()},
        {"buckets_a_minute", lpm / kBucket}, {"source", source}};
    console.out << answer.dump() << '\n';
  } else {
    console.out << fmt::format("{} L/min, {} buckets a minute ({}; {}; depth to the hole's centre).\n",
                               print_number(lpm, 1), print_number(lpm / kBucket, 1),
                               fmt::format("discharge coefficient {}", print_number(cd, 3)), source);
  }
  return {};
}

Result<void> all(const Session& session, const Options& o, const Console& console) {
  const auto& water = session.snapshot().water;
  if (o.json) {
    console.out << flooding_json(water).dump(2) << '\n';
  } else {
    print_flooding(console.out, water);
  }
  return {};
}

void run(const Options& o, Console& console) {
  if (o.logbook.folder.empty()) {
    const auto done = o.bore.empty() || o.depth.empty()
                          ? Result<void>(fail(ErrorCode::BadInput, "There is nothing to work out.",
                                              "Name a logbook, or give --bore and --depth."))
                          : one_hole(o, console);
    if (!done) console.tell(done.error());
    return;
  }
  with_logbook(console, o.logbook, For::Reading, [&](Session& session) { return all(session, o, console); });
}

}  // namespace

void add_flooding(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "flooding", "Say what comes in where an opening lets go, and how long that leaves",
                  "spile flooding heron.spile\n  spile flooding --bore \"38 mm\" --depth \"0.5 m\" --json");
  command->add_option("LOGBOOK", o->logbook.folder,
                      "Folder of the logbook, NAME.spile; left out: one hole from --bore and --depth");
  add_survey(*command, o->logbook);
  command->add_option("--bore", o->bore, "Of the hole")->type_name("LENGTH");
  command->add_option("--depth", o->depth, "Of its centre under water")->type_name("LENGTH");
  command->add_option("--cd", o->cd, "Discharge coefficient (0.61 if left out)")->type_name("CD");
  command->add_flag("--json", o->json, "As JSON");
  command->callback([o, &console] { run(*o, console); });
}

}  // namespace spile::app::cli
