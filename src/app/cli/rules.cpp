// spile rules: what the rules go by, and the rows a yard lays over the tables
#include <fmt/format.h>

#include <fstream>
#include <iterator>
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "assets/embedded.hpp"
#include "rules/describe.hpp"

namespace spile::app::cli {

namespace {

namespace fs = std::filesystem;

struct Options {
  std::string folder, table, lay, take_off;
};

Result<std::string> whole_text(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  if (in && !text.empty()) return text;
  return fail(ErrorCode::FileUnreadable, fmt::format("{} cannot be read.", file.string()),
              "Check its name; it must be one of the tables, such as thresholds.csv.");
}

Result<void> show_table(const std::string& name, const Console& console) {
  if (!assets::contains("tables/" + name)) {
    std::string names;
    for (const auto path : assets::list("tables/"))
      names += (names.empty() ? "" : ", ") + std::string(path.substr(7));
    return fail(ErrorCode::NotFound, fmt::format("There is no table {}.", name),
                fmt::format("There are: {}.", names));
  }
  console.out << assets::text("tables/" + name);
  return {};
}

Result<void> show_yard(const Session& session, const Console& console) {
  const auto& snapshot = session.snapshot();
  if (!snapshot.yard_fault.empty()) console.note(snapshot.yard_fault);
  if (snapshot.yard.empty()) console.note("No rows of the yard's own are laid over the tables.");
  for (const auto& row : session.tables().yard_rows()) console.out << row << '\n';
  return {};
}

Result<void> with_yard(Session& session, const Options& o, const Console& console) {
  if (!o.take_off.empty())
    return record_edit(session, console, [&] { return session.take_off_table(o.take_off); });
  if (o.lay.empty()) return show_yard(session, console);
  const auto text = whole_text(o.lay);
  if (!text) return tl::unexpected(text.error());
  const model::YardTable table{fs::path(o.lay).filename().string(), *text};
  return record_edit(session, console, [&] { return session.lay_table(table); });
}

Result<void> describe(const Console& console) {
  const auto tables = rules::Tables::load_shipped();
  if (!tables) return tl::unexpected(tables.error());
  console.out << rules::rules_as_markdown(*tables);
  return {};
}

}  // namespace

void add_rules(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command =
      add_command(app, "rules", "Say what the rules go by, or lay rows of your own over their tables",
                  "spile rules heron.spile --lay thresholds.csv");
  command->add_option("LOGBOOK", o->folder, "Show or change the yard's own rows in this logbook");
  command->add_option("--table", o->table, "Print a table as it comes with the program")->type_name("NAME");
  command
      ->add_option("--lay", o->lay,
                   "Lay the rows of this file over the table of its name: same header, any rows")
      ->type_name("FILE.csv");
  command->add_option("--take-off", o->take_off, "Take the yard's rows off a table")->type_name("NAME");
  command->callback([o, &console] {
    const bool writing = !o->lay.empty() || !o->take_off.empty();
    Result<void> done;
    if (!o->table.empty()) {
      done = show_table(o->table, console);
    } else if (!o->folder.empty()) {
      with_logbook(console, {o->folder, {}}, writing ? For::Writing : For::Reading,
                   [&](Session& session) { return with_yard(session, *o, console); });
    } else if (writing) {
      done = fail(ErrorCode::BadInput, "Rows of the yard's own are laid over the tables of one logbook.",
                  "Name the logbook: spile rules heron.spile --lay thresholds.csv.");
    } else {
      done = describe(console);
    }
    if (!done) console.tell(done.error());
  });
}

}  // namespace spile::app::cli
