// spile new
#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"

namespace spile::app::cli {

void add_new(CLI::App& app, Console& console) {
  auto folder = std::make_shared<std::string>();
  auto* command = add_command(app, "new", "Make an empty logbook", "spile new heron");
  command->add_option("LOGBOOK", *folder, "Folder to make; .spile is added when missing")->required();
  command->callback([folder, &console] {
    const auto session = Session::create(*folder);
    if (!session) return console.tell(session.error());
    console.out << session->snapshot().folder.string() << '\n';
  });
}

}  // namespace spile::app::cli
