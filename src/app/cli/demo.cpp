// spile demo
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/line_progress.hpp"
#include "app/demo.hpp"

namespace spile::app::cli {

void add_demo(CLI::App& app, Console& console) {
  auto folder = std::make_shared<std::string>();
  auto* command =
      add_command(app, "demo", "Make a logbook of an invented vessel to try things on", "spile demo try-me");
  command->add_option("DIR", *folder, "Folder to make; .spile is added when missing")->required();
  command->callback([folder, &console] {
    Result<void> made;
    {
      LineProgress progress(console.err);
      made = make_demo(*folder, &progress);
    }
    if (!made) return console.tell(made.error());
    console.out << logbook_folder(*folder).string() << '\n';
  });
}

}  // namespace spile::app::cli
