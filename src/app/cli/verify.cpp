// spile verify
#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/checklist.hpp"
#include "app/cli/commands.hpp"
#include "app/wording.hpp"
#include "db/store.hpp"

namespace spile::app::cli {

namespace {

void print(Console& console, const db::VerifyReport& found, bool json) {
  if (json) {
    const nlohmann::ordered_json object = {
        {"surveys", found.surveys}, {"openings", found.openings}, {"measurements", found.measurements},
        {"photos", found.photos},   {"faults", found.faults},     {"notes", found.notes}};
    console.out << object.dump() << '\n';
  } else {
    const auto count = [](int of, const char* noun) { return counted(static_cast<std::size_t>(of), noun); };
    console.out << fmt::format("{}, {}, {}, {}: {}\n", count(found.surveys, "survey"),
                               count(found.openings, "opening"), count(found.measurements, "measurement"),
                               count(found.photos, "photo"), found.faults.empty() ? "whole" : "not whole");
    for (const auto& note : found.notes) console.out << "Note: " << note << '\n';
  }
  for (const auto& fault : found.faults) console.err << "spile: " << fault << '\n';
  if (!found.faults.empty()) console.status = kError;
}

// Not a fault of the logbook, but worth knowing to whoever relies on it.
void add_not_looked_at(const LogbookArguments& logbook, db::VerifyReport& report) {
  const auto session = Session::open(logbook.folder, true);
  if (!session || !session->snapshot().survey) return;
  const auto list = checklist_of(session->snapshot(), session->tables());
  if (list.looked == static_cast<int>(list.items.size())) return;
  const auto named = [&](model::Seen seen, const char* what) {
    const auto tags = tags_of(list, seen);
    if (!tags.empty())
      report.notes.push_back(
          fmt::format("{} in the survey of {}: {}.", what, session->snapshot().surveys.back().date, tags));
  };
  named(model::Seen::NotLookedAt, "Not looked at");
  named(model::Seen::ToBeConfirmed, "To be confirmed");
}

}  // namespace

void add_verify(CLI::App& app, Console& console) {
  struct Options {
    LogbookArguments logbook;
    bool json = false;
  };
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "verify", "Prove a logbook whole: every hash, reference and count",
                              "spile verify heron.spile");
  add_logbook(*command, o->logbook);
  command->add_flag("--json", o->json, "As JSON");
  command->callback([o, &console] {
    const auto store = db::Store::open(logbook_folder(o->logbook.folder), db::Access::ReadOnly);
    if (!store) return console.tell(store.error());
    const auto found = store->verify();
    if (!found) return console.tell(found.error());
    auto told = *found;
    add_not_looked_at(o->logbook, told);
    print(console, told, o->json);
  });
}

}  // namespace spile::app::cli
