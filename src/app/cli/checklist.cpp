// spile checklist
#include "app/checklist.hpp"

#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string confirm;
  bool json = false;
};

std::string_view mark_of(model::Seen seen) {
  switch (seen) {
    case model::Seen::Looked:
      return "[x]";
    case model::Seen::ToBeConfirmed:
      return "[?]";
    case model::Seen::NotLookedAt:
      break;
  }
  return "[ ]";
}

void print(std::ostream& out, const Checklist& list) {
  for (const auto& item : list.items) {
    out << fmt::format("{} {}  {}; {}\n", mark_of(item.seen), item.tag, item.service, item.place);
    if (!item.last.empty()) out << fmt::format("      last: {}\n", item.last);
  }
  out << progress_words(list) << '\n';
}

Result<void> show(const Session& session, const Options& o, const Console& console) {
  const auto list = checklist_of(session.snapshot(), session.tables());
  if (o.json) {
    console.out << checklist_json(list).dump(2) << '\n';
  } else {
    print(console.out, list);
  }
  return {};
}

Result<void> confirm(Session& session, const Options& o, const Console& console) {
  const auto view = opening_by_tag(session, o.confirm);
  if (!view) return tl::unexpected(view.error());
  const auto opening = (*view)->opening.id;
  return record_edit(session, console, [&] { return session.confirm(opening); });
}

}  // namespace

void add_checklist(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "checklist",
                              "List the openings in the order of the walk round, and what was looked at",
                              "spile checklist heron.spile\n  spile checklist heron.spile --confirm P-03");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("--confirm", o->confirm, "This opening is as it was put down: looked at")
      ->type_name("TAG");
  command->add_flag("--json", o->json, "As JSON");
  command->callback([o, &console] {
    const bool writing = !o->confirm.empty();
    with_logbook(console, o->logbook, writing ? For::Writing : For::Reading, [&](Session& session) {
      return writing ? confirm(session, *o, console) : show(session, *o, console);
    });
  });
}

}  // namespace spile::app::cli
