// spile verify
#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

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
    print(console, *found, o->json);
  });
}

}  // namespace spile::app::cli
