#include "app/cli/cli.hpp"

#include <exception>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/log.hpp"

namespace spile::app::cli {

namespace {

constexpr const char* kWhat =
    "Spile accounts for every opening through the hull of a small craft: photos in, measured holes and "
    "reasoned verdicts out, kept in a logbook.";
constexpr const char* kFooter =
    "Lengths are read as people write them: 38 mm, 3.8 cm, 1-1/2 in, 3/4\". Data goes to standard output, "
    "messages to standard error.\n"
    "A fitting below the waterline can sink a boat: what Spile says is advice. Local codes, the builder and "
    "a "
    "licensed surveyor come first.";

void add_commands(CLI::App& app, Console& console) {
  add_new(app, console);
  add_demo(app, console);
  add_vessel(app, console);
  add_survey_command(app, console);
  add_opening(app, console);
  add_import(app, console);
  add_file(app, console);
  add_measure(app, console);
  add_compare(app, console);
  add_remeasure(app, console);
  add_type(app, console);
  add_withdraw(app, console);
  add_observe(app, console);
  add_show(app, console);
  add_verdict(app, console);
  add_run(app, console);
  add_runs(app, console);
  add_parts(app, console);
  add_flow(app, console);
  add_bilge(app, console);
  add_flooding(app, console);
  add_section(app, console);
  add_trends(app, console);
  add_checklist(app, console);
  add_due(app, console);
  add_undo_redo(app, console);
  add_history(app, console);
  add_card(app, console);
  add_camera(app, console);
  add_report(app, console);
  add_rules(app, console);
  add_merge(app, console);
  add_verify(app, console);
}

int parse_and_run(CLI::App& app, int argc, const char* const* argv, Console& console) {
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success))
      return app.exit(e, console.out, console.err);
    const auto used = app.get_subcommands();
    const std::string command = used.empty() ? "" : " " + used.front()->get_name();
    console.err << "spile: " << e.what() << "\nTry \"spile" << command << " --help\".\n";
    return kWrongUsage;
  }
  return console.status;
}

}  // namespace

int run(int argc, const char* const* argv, std::ostream& out, std::ostream& err) {
  Console console{out, err};
  CLI::App app(kWhat, "spile");
  app.set_version_flag("--version", "spile " SPILE_VERSION);
  app.footer(kFooter);
  app.require_subcommand(1);
  app.get_formatter()->column_width(34);
  add_commands(app, console);
  int status = kError;
  try {
    status = parse_and_run(app, argc, argv, console);
  } catch (const std::exception& e) {
    const Error error{ErrorCode::Internal, "Something unforeseen went wrong, and the command stopped.",
                      "What was stored before is safe; try again.", e.what()};
    log_error(error);
    console.tell(error);
    status = kError;
  }
  out.flush();
  if (out) return status;
  err << "spile: The output could not be written to the end. Make room where it goes and run it again.\n";
  return kError;
}

}  // namespace spile::app::cli
