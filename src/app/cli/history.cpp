// spile history
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"

namespace spile::app::cli {

void add_history(CLI::App& app, Console& console) {
  auto logbook = std::make_shared<LogbookArguments>();
  auto* command = add_command(app, "history", "List the changes that undo and redo can reach",
                              "spile history heron.spile");
  add_logbook(*command, *logbook);
  command->callback([logbook, &console] {
    with_logbook(console, *logbook, For::Reading, [&](Session& session) -> Result<void> {
      const auto edits = session.history();
      if (!edits) return tl::unexpected(edits.error());
      for (const auto& edit : *edits)
        console.out << fmt::format("{}  {}{}\n", edit.made_at, edit.name, edit.undone ? "  (undone)" : "");
      return {};
    });
  });
}

}  // namespace spile::app::cli
