// spile show
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/print_logbook.hpp"
#include "app/logbook_json.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  bool json = false;
};

Result<void> show(const Session& session, const Options& o, const Console& console) {
  if (o.tag.empty()) {
    if (o.json) {
      console.out << to_json(session.snapshot()).dump(2) << '\n';
    } else {
      print_logbook(console.out, session);
    }
    return {};
  }
  const auto view = opening_by_tag(session, o.tag);
  if (!view) return tl::unexpected(view.error());
  if (o.json) {
    console.out << to_json(**view).dump(2) << '\n';
  } else {
    print_opening(console.out, session, **view);
  }
  return {};
}

}  // namespace

void add_show(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "show", "Show the logbook, or one opening of it",
                              "spile show heron.spile P-03 --json");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "One opening");
  command->add_flag("--json", o->json, "As JSON: lengths in mm, null for what nobody recorded");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return show(session, *o, console); });
  });
}

}  // namespace spile::app::cli
