#include "app/cli/print_water.hpp"

#include <fmt/format.h>

#include <ostream>

#include "app/logbook_json.hpp"
#include "app/water_words.hpp"

namespace spile::app::cli {

namespace {

void print_parts(std::ostream& out, const RunView& run) {
  for (std::size_t i = 0; i < run.placed.parts.size(); ++i) {
    out << "  " << part_text(run, i) << '\n';
    if (const auto joint = joint_text(run, i); !joint.empty()) out << "     !! " << joint << '\n';
  }
}

}  // namespace

void print_run(std::ostream& out, const RunView& run) {
  out << fmt::format("{}: {}: {}\n", run_title(run), standing_label(run.standing), run.headline);
  print_parts(out, run);
  for (const auto& fault : run.faults) out << "  Cannot be: " << fault << '\n';
  if (!run.match.size_note.empty()) out << "  " << run.match.size_note << '\n';
  for (const auto& line : flow_lines(run)) out << "  " << line << '\n';
  for (const auto* back : backflows(run))
    out << (hydraulics::dangerous(back->answer) ? "  DANGER: " : "  ") << backflow_text(*back) << '\n';
  for (const auto& note : run.notes) out << "  Note: " << note << '\n';
  if (run.remedies.empty()) return;
  out << "  What would make it match, best first:\n";
  int number = 0;
  for (const auto& remedy : run.remedies) {
    out << fmt::format("  {}. {}\n", ++number, remedy_title(remedy));
    for (const auto& line : remedy_lines(remedy)) out << "     - " << line << '\n';
  }
}

void print_flooding(std::ostream& out, const WaterView& water) {
  out << pumps_text(water) << '\n';
  for (const auto& f : water.floods) {
    out << fmt::format("\n{}: {}\n", f.tag, flood_title(f, water));
    for (const auto& line : leak_lines(f)) out << "  " << line << '\n';
  }
  out << "\nCaution:\n";
  for (const auto& caution : water.cautions) out << "  " << caution << '\n';
}

}  // namespace spile::app::cli
