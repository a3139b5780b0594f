#include "app/cli/print_water.hpp"

#include <fmt/format.h>

#include <ostream>

#include "app/logbook_json.hpp"
#include "app/wording.hpp"

namespace spile::app::cli {

namespace {

std::string minutes(const std::optional<double>& value) {
  return value ? fmt::format("{} min", print_number(*value, 1)) : "-";
}

void print_parts(std::ostream& out, const RunView& run) {
  for (std::size_t i = 0; i < run.placed.parts.size(); ++i) {
    const auto& part = run.placed.parts[i];
    out << fmt::format("  {:>2}. {}, bore {}", i + 1, part.stock->choice.label,
                       print_interval(part.bore_mm, part.bore_u95_mm, "mm"));
    if (part.stock->kind == rules::PartKind::Hose)
      out << fmt::format(", {} mm long", print_number(part.length_mm, 0));
    if (!run.profile.empty())
      out << fmt::format(", ends at {} mm", print_number(run.profile[i + 1].height_mm, 0));
    if (part.from_fitting) out << " (the opening's own)";
    if (run.match.bottleneck == i) out << "  <- narrowest";
    out << '\n';
    if (i >= run.match.joints.size()) continue;
    const auto& joint = run.match.joints[i];
    if (rules::matches(joint.fit)) continue;
    out << fmt::format("      !! {}: {}\n", rules::label(joint.fit), joint.text);
    const auto chain = run.chains.find(i);
    if (chain == run.chains.end()) continue;
    std::string names;
    if (chain->second)
      for (const auto* link : chain->second->parts)
        names += (names.empty() ? "" : ", ") + lower(link->choice.label);
    out << (chain->second ? fmt::format("         Bridged by {}: {}\n",
                                        counted(chain->second->parts.size(), "part"), names)
                          : std::string("         No chain of stocked parts joins them.\n"));
  }
}

void print_flow(std::ostream& out, std::string_view when, const FlowView& flow) {
  if (!flow.flows()) {
    if (!flow.why_not.empty()) out << fmt::format("  Flow {}: {}\n", when, flow.why_not);
    return;
  }
  if (flow.drive == Drive::Drawn) {
    out << fmt::format("  Flow {}: at the {} L/min this service draws, {} mm of head are needed\n", when,
                       print_number(flow.lpm, 0), print_number(flow.needed_mm, 0));
  } else {
    out << fmt::format("  Flow {}: {} L/min ({} to {}), {} {} mm", when, print_number(flow.lpm, 1),
                       print_number(flow.low_lpm, 1), print_number(flow.high_lpm, 1),
                       flow.fall_mm < 0 ? "lifting" : "falling", print_number(std::abs(flow.fall_mm), 0));
    if (flow.drive == Drive::Pumped)
      out << fmt::format(", pump at {} mm", print_number(flow.pump_head_mm, 0));
    out << '\n';
    if (flow.empty_minutes)
      out << fmt::format("    The basin empties in {} min\n", print_number(*flow.empty_minutes, 1));
  }
  const auto& worst = flow.losses[flow.worst];
  out << fmt::format("    Most head is lost in {}: {} mm, {} %; {} m/s there\n", lower(worst.part),
                     print_number(worst.head_mm, 0), print_number(100 * worst.share, 0),
                     print_number(worst.velocity, 2));
  if (!flow.budget.empty())
    out << fmt::format("    Least certain: {}, {} to {} L/min\n", lower(flow.budget.front().term),
                       print_number(-flow.budget.front().less.value(), 1),
                       print_number(flow.budget.front().more.value(), 1));
}

void print_backflow(std::ostream& out, const std::optional<BackflowView>& back) {
  if (!back) return;
  out << fmt::format("  {}{}\n", hydraulics::dangerous(back->answer) ? "DANGER: " : "", back->text);
  if (back->lpm)
    out << fmt::format("    {} L/min come in until somebody shuts it\n", print_number(*back->lpm, 0));
}

void print_remedy(std::ostream& out, const RemedyView& view, int number) {
  const auto& r = view.remedy;
  out << fmt::format("  {}. {}{}{}\n", number, r.title, r.serves ? "" : " (too small for the service)",
                     view.lpm ? fmt::format(", {} L/min", print_number(*view.lpm, 1)) : "");
  for (const auto& step : r.steps) out << "     - " << step << '\n';
  if (!r.why_not.empty()) out << "     Against it: " << r.why_not << '\n';
}

}  // namespace

void print_run(std::ostream& out, const RunView& run) {
  out << fmt::format("{}: {}: {}\n", run.title.empty() ? "Run" : run.title, standing_label(run.standing),
                     run.headline);
  print_parts(out, run);
  for (const auto& fault : run.faults) out << "  Cannot be: " << fault << '\n';
  if (!run.match.size_note.empty()) out << "  " << run.match.size_note << '\n';
  print_flow(out, "at rest", run.at_rest);
  if (run.heel_deg > 0)
    print_flow(out, fmt::format("at {}° heel", print_number(run.heel_deg, 0)), run.heeled);
  print_backflow(out, run.back_at_rest);
  if (run.heel_deg > 0) print_backflow(out, run.back_heeled);
  for (const auto& note : run.notes) out << "  Note: " << note << '\n';
  if (run.remedies.empty()) return;
  out << "  What would make it match, best first:\n";
  int number = 0;
  for (const auto& remedy : run.remedies) print_remedy(out, remedy, ++number);
}

void print_flooding(std::ostream& out, const WaterView& water) {
  out << fmt::format("Pumps: {} L/min ({}).\n", print_number(water.pumps_lpm, 0), water.pumps_how);
  out << (water.sole_litres
              ? fmt::format("The cabin sole is wet from {} L on.\n", print_number(*water.sole_litres, 0))
              : std::string("How much covers the cabin sole is not recorded: \"spile bilge\" takes it.\n"));
  out << fmt::format("Waterplane: {} ({}).\n",
                     water.waterplane_m2 ? print_number(*water.waterplane_m2, 1) + " m2" : "-",
                     water.waterplane_how);
  for (const auto& f : water.floods) {
    out << fmt::format("\n{}{}: {}\n", f.rank > 0 ? fmt::format("{}. ", f.rank) : "", f.tag,
                       f.known ? f.headline : f.why_not);
    for (const auto& leak : f.leaks) {
      if (f.rank == 0) continue;
      out << fmt::format("  {}, {}: {} L/min at rest ({} to {}), {} heeled\n", lower(leak.what),
                         print_interval(leak.bore_mm, leak.bore_u95_mm, "mm"),
                         print_number(leak.at_rest_lpm, 0), print_number(leak.at_rest_low, 0),
                         print_number(leak.at_rest_high, 0), print_number(leak.heeled_lpm, 0));
      out << fmt::format("    500 L: {}, pumped {}; sole: {}, pumped {}; 100 mm deeper: {}, pumped {}\n",
                         minutes(leak.minutes_500), minutes(leak.minutes_500_pumped),
                         minutes(leak.sole_minutes), minutes(leak.sole_minutes_pumped),
                         minutes(leak.settle_minutes), minutes(leak.settle_minutes_pumped));
      out << fmt::format("    Discharge coefficient {}\n", leak.cd_source);
    }
  }
  out << "\nA dash: never, as far as this goes. Caution:\n";
  for (const auto& caution : water.cautions) out << "  " << caution << '\n';
}

}  // namespace spile::app::cli
