// spile withdraw
#include <memory>

#include "app/cli/commands.hpp"

namespace spile::app::cli {

void add_withdraw(CLI::App& app, Console& console) {
  struct Options {
    LogbookArguments logbook;
    std::int64_t id = 0;
  };
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "withdraw", "Let a measurement no longer stand; it is kept",
                  "spile withdraw heron.spile 17   (\"spile show heron.spile P-03\" gives the numbers)");
  add_logbook(*command, o->logbook);
  command->add_option("NUMBER", o->id, "The measurement's number, as \"spile show\" prints it")->required();
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Writing, [&](Session& session) {
      return record_edit(session, console,
                         [&] { return session.withdraw_measurement(model::MeasurementId{o->id}); });
    });
  });
}

}  // namespace spile::app::cli
