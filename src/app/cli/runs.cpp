// spile runs, spile flow, spile parts
#include <fmt/format.h>

#include <fstream>
#include <iterator>
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/cli/print_water.hpp"
#include "app/run_file.hpp"
#include "app/water_json.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  bool json = false;
};

Result<void> show(const Session& session, const Options& o, const Console& console) {
  const auto& water = session.snapshot().water;
  std::vector<const RunView*> runs;
  if (!o.tag.empty()) {
    const auto view = opening_by_tag(session, o.tag);
    if (!view) return tl::unexpected(view.error());
    for (const auto& run : water.runs)
      if (run.run.opening == (*view)->opening.id) runs.push_back(&run);
  } else {
    for (const auto& run : water.runs) runs.push_back(&run);
  }
  if (o.json) {
    auto list = nlohmann::ordered_json::array();
    for (const auto* run : runs) list.push_back(to_json(*run));
    console.out << list.dump(2) << '\n';
    return {};
  }
  if (runs.empty()) console.note("No run is recorded here yet; begin one with \"spile run\".");
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (i > 0) console.out << '\n';
    print_run(console.out, *runs[i]);
  }
  return {};
}

Result<RunView> read_run(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in)
    return fail(ErrorCode::FileMissing, fmt::format("{} cannot be read.", file),
                "Name a file that holds a run as JSON.");
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  auto tables = rules::Tables::load_shipped();
  if (!tables) return tl::unexpected(std::move(tables.error()));
  const auto stock = std::make_unique<Result<rules::Stock>>(rules::Stock::load_shipped());
  if (!*stock) return tl::unexpected(std::move(stock->error()));
  // The view points into the stock; it lives as long as the program.
  static const auto kept = std::move(**stock);
  return view_of_file(text, *tables, kept);
}

void flow(const std::string& file, bool json, Console& console) {
  const auto run = read_run(file);
  if (!run) {
    console.tell(run.error());
    return;
  }
  if (json) {
    console.out << to_json(*run).dump(2) << '\n';
  } else {
    print_run(console.out, *run);
  }
  if (!run->faults.empty()) console.status = kRefused;
}

void list_parts(const std::string& words, bool json, Console& console) {
  const auto stock = rules::Stock::load_shipped();
  if (!stock) {
    console.tell(stock.error());
    return;
  }
  auto list = nlohmann::ordered_json::array();
  for (const auto& part : stock->parts()) {
    if (folded(part.choice.key + " " + part.choice.label).find(folded(words)) == std::string::npos) continue;
    if (json) {
      list.push_back({{"part", part.choice.key},
                      {"label", part.choice.label},
                      {"kind", rules::label(part.kind)},
                      {"bore_mm", part.bore_mm},
                      {"toward_fixture", rules::end_text(part.in)},
                      {"toward_opening", rules::end_text(part.out)},
                      {"source", part.choice.source}});
    } else {
      console.out << fmt::format("{:<26} {}, bore {} mm\n", part.choice.key, part.choice.label,
                                 print_number(part.bore_mm, 1));
    }
  }
  if (json) console.out << list.dump(2) << '\n';
}

}  // namespace

void add_runs(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(app, "runs",
                              "Say of each run whether it matches, what flows, and whether the sea runs back",
                              "spile runs heron.spile S-02 --json");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "The runs of one opening");
  command->add_flag("--json", o->json, "As JSON: lengths in mm, flows in L/min");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return show(session, *o, console); });
  });
}

void add_flow(CLI::App& app, Console& console) {
  auto file = std::make_shared<std::string>();
  auto json = std::make_shared<bool>(false);
  auto* command = add_command(app, "flow", "Work out one run from a small file, without a logbook",
                              "spile flow run.json --json\n\nThe file, for instance:\n"
                              "  {\"service\": \"galley-sink-drain\", \"heel_deg\": 30,\n"
                              "   \"opening\": {\"height_mm\": -140, \"half_breadth_mm\": 1060, \"size\": "
                              "\"1-1/4 in\", \"thread\": \"npsm-1-1-4\"},\n"
                              "   \"outlet_height_mm\": 300, \"basin_depth_mm\": 160, \"basin_litres\": 14,\n"
                              "   \"parts\": [{\"part\": \"sink-38\"}, {\"part\": \"hose-38\", \"length\": "
                              "\"1.2 m\", \"bends\": 2}]}\n"
                              "\"spile parts\" lists the parts.");
  command->add_option("FILE", *file, "A run as JSON")->required();
  command->add_flag("--json", *json, "As JSON");
  command->callback([file, json, &console] { flow(*file, *json, console); });
}

void add_parts(CLI::App& app, Console& console) {
  auto words = std::make_shared<std::string>();
  auto json = std::make_shared<bool>(false);
  auto* command =
      add_command(app, "parts", "List the parts that runs are made of", "spile parts \"hose tail\"");
  command->add_option("WORDS", *words, "Only those whose name holds this");
  command->add_flag("--json", *json, "As JSON");
  command->callback([words, json, &console] { list_parts(*words, *json, console); });
}

}  // namespace spile::app::cli
