// spile section
#include <memory>
#include <ostream>

#include "app/cli/commands.hpp"
#include "app/section.hpp"

namespace spile::app::cli {

namespace {

struct Options {
  LogbookArguments logbook;
  std::string tag;
  bool json = false;
};

Result<void> show(const Session& session, const Options& o, const Console& console) {
  std::vector<SectionView> sections = sections_of(session.snapshot());
  if (!o.tag.empty()) {
    const auto view = opening_by_tag(session, o.tag);
    if (!view) return tl::unexpected(view.error());
    std::erase_if(sections, [&](const SectionView& s) { return s.tag != (*view)->opening.tag; });
  }
  if (o.json) {
    auto list = nlohmann::ordered_json::array();
    for (const auto& section : sections) list.push_back(to_json(section));
    console.out << list.dump(2) << '\n';
    return {};
  }
  for (std::size_t i = 0; i < sections.size(); ++i) {
    if (i > 0) console.out << '\n';
    for (const auto& sentence : sections[i].words) console.out << sentence << '\n';
  }
  return {};
}

}  // namespace

void add_section(CLI::App& app, Console& console) {
  auto o = std::make_shared<Options>();
  auto* command = add_command(
      app, "section",
      "Say of each opening whether it is under at rest and heeled, needs a valve, and can flood its fixture",
      "spile section heron.spile S-02");
  add_logbook(*command, o->logbook);
  add_survey(*command, o->logbook);
  command->add_option("TAG", o->tag, "One opening");
  command->add_flag("--json", o->json,
                    "As JSON: lengths in mm, [along, height, from the centreline] of the run");
  command->callback([o, &console] {
    with_logbook(console, o->logbook, For::Reading,
                 [&](Session& session) { return show(session, *o, console); });
  });
}

}  // namespace spile::app::cli
