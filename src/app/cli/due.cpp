// spile due
#include "app/due.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>
#include <utility>

#include "app/cli/commands.hpp"
#include "app/clock.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  std::string folder, on;
  bool all = false, json = false;
};

std::string_view title_of(rules::DueState state) {
  switch (state) {
    case rules::DueState::Overdue:
      return "Overdue";
    case rules::DueState::Coming:
      return "Coming";
    case rules::DueState::Later:
      return "Later";
  }
  return {};
}

// True when there was something to print.
bool print(std::ostream& out, const std::vector<DueItem>& items, rules::DueState state) {
  bool any = false;
  for (const auto& item : items) {
    if (item.task.state != state) continue;
    if (!std::exchange(any, true)) out << title_of(state) << '\n';
    out << fmt::format("  {}  {}: {}\n        {}, {}\n", item.tag, item.service,
                       lower(rules::label(item.task.task)), item.when, item.why);
  }
  return any;
}

void print_all(std::ostream& out, const std::vector<DueItem>& items, bool later_too) {
  bool any = print(out, items, rules::DueState::Overdue);
  any = print(out, items, rules::DueState::Coming) || any;
  if (!any) out << "Nothing is overdue, and nothing comes up soon.\n";
  if (later_too) {
    print(out, items, rules::DueState::Later);
    return;
  }
  const auto later = std::count_if(items.begin(), items.end(),
                                   [](const auto& i) { return i.task.state == rules::DueState::Later; });
  if (later > 0)
    out << fmt::format("{} later (--all lists them)\n", counted(static_cast<std::size_t>(later), "task"));
}

Result<void> show(const Session& session, const Options& o, const Console& console) {
  const auto text = o.on.empty() ? Clock::system().today() : o.on;
  const auto on = units::parse_date(text);
  if (!on)
    return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a date.", text),
                "Write year, month and day, such as 2026-04-12.");
  const auto items = due_items(session.snapshot(), session.tables(), *on);
  if (o.json) {
    console.out << due_json(items, *on).dump(2) << '\n';
  } else {
    print_all(console.out, items, o.all);
  }
  return {};
}

}  // namespace

void add_due(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "due", "Say what is overdue and what is coming, by the intervals of a table",
                  "spile due heron.spile --on 2027-05-01");
  command->add_option("LOGBOOK", o->folder, "Folder of the logbook, NAME.spile")->required();
  command->add_option("--on", o->on, "As on this day; left out: today")->type_name("DATE");
  command->add_flag("--all", o->all, "Also what is due later");
  command->add_flag("--json", o->json, "As JSON; always all of it");
  command->callback([o, &console] {
    with_logbook(console, {o->folder, {}}, For::Reading,
                 [&](Session& session) { return show(session, *o, console); });
  });
}

}  // namespace spile::app::cli
