// spile verdict
#include <memory>
#include <ostream>
#include <vector>

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

Result<void> judge(const Session& session, const Options& o, const Console& console) {
  std::vector<const OpeningView*> views;
  if (o.tag.empty()) {
    for (const auto& view : session.snapshot().openings) views.push_back(&view);
  } else {
    const auto view = opening_by_tag(session, o.tag);
    if (!view) return tl::unexpected(view.error());
    views.push_back(*view);
  }
  if (o.json) {
    for (const auto* view : views) console.out << verdicts_json(*view).dump() << '\n';
    return {};
  }
  for (std::size_t i = 0; i < views.size(); ++i) {
    if (i > 0) console.out << '\n';
    print_verdicts(console.out, *views[i]);
  }
  return {};
}

}  // namespace

void add_verdict(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "verdict", "Say what each opening needs, with reasons and sources",
                              "spile verdict heron.spile P-03");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "One opening");
  command->add_flag("--json", o->json, "As JSON Lines, one opening a line");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return judge(session, *o, console); });
  });
}

}  // namespace spile::app::cli
