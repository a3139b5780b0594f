// spile undo, spile redo
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"

namespace spile::app::cli {

namespace {

Result<void> step(Session& session, bool back, const Console& console) {
  const auto& snapshot = session.snapshot();
  const auto name = back ? snapshot.undo_name : snapshot.redo_name;
  if (!name) {
    return fail(ErrorCode::NotFound, fmt::format("There is nothing to {}.", back ? "undo" : "redo"),
                "\"spile history\" lists what was done.");
  }
  if (auto done = back ? session.undo() : session.redo(); !done) return done;
  console.out << (back ? "Undone: " : "Redone: ") << *name << '\n';
  return {};
}

void add_step(CLI::App& app, Console& console, bool back) {
  auto logbook = std::make_shared<LogbookArguments>();
  auto* command = back ? add_command(app, "undo", "Take the last change back", "spile undo heron.spile")
                       : add_command(app, "redo", "Do again what was undone", "spile redo heron.spile");
  add_logbook(*command, *logbook);
  command->callback([logbook, back, &console] {
    with_logbook(console, *logbook, For::Writing,
                 [&](Session& session) { return step(session, back, console); });
  });
}

}  // namespace

void add_undo_redo(CLI::App& app, Console& console) {
  add_step(app, console, true);
  add_step(app, console, false);
}

}  // namespace spile::app::cli
