#include "app/report_water.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "app/section.hpp"
#include "app/water_figures.hpp"
#include "app/water_words.hpp"
#include "app/wording.hpp"
#include "rules/tables.hpp"

namespace spile::app {

namespace {

std::string sea_cell(const RunView& run) {
  using hydraulics::Backflow;
  const auto& back = run.heel_deg > 0 && run.back_heeled ? run.back_heeled : run.back_at_rest;
  if (!back) return "–";
  switch (back->answer) {
    case Backflow::OutletDry:
      return "outlet above the sea";
    case Backflow::Clear:
      return fmt::format("rim {} mm clear of the sea", print_number(back->rim_mm, 0));
    case Backflow::Close:
      return fmt::format("rim only {} mm above the sea", print_number(back->rim_mm, 0));
    case Backflow::HeldByLoop:
      return "under water, held off by its vented loop";
    case Backflow::LoopTooLow:
      return "DANGER: vented loop too low";
    case Backflow::Siphons:
      return "DANGER: can siphon the sea in";
    case Backflow::RunsBack:
      return "DANGER: the sea runs in";
  }
  return {};
}

std::string flow_cell(const RunView& run) {
  const FlowView& f = run.at_rest;
  if (!f.flows()) return "–";
  if (f.drive == Drive::Drawn) return fmt::format("draws {}", print_number(f.lpm, 0));
  return fmt::format("{} ({} to {})", print_number(f.lpm, 0), print_number(f.low_lpm, 0),
                     print_number(f.high_lpm, 0));
}

std::string joints_cell(const RunView& run) {
  if (!run.faults.empty()) return "not worked out";
  std::string bad;
  for (const auto& joint : run.match.joints)
    if (!rules::matches(joint.fit)) bad += (bad.empty() ? "" : ", ") + lower(rules::label(joint.fit));
  if (!bad.empty()) return bad;
  return run.match.size_note.empty() ? "all match" : "match, but too small";
}

void add_says(report::ReportRun& into, const RunView& run, const SectionView& section) {
  for (const auto& fault : run.faults) into.says.push_back("Cannot be: " + fault);
  if (!run.match.size_note.empty()) into.says.push_back(run.match.size_note);
  for (const auto& line : flow_lines(run)) into.says.push_back(line);
  for (const auto* back : backflows(run))
    (hydraulics::dangerous(back->answer) ? into.dangers : into.says).push_back(backflow_text(*back));
  for (const auto& note : run.notes) into.says.push_back("Note: " + note);
  for (const auto& sentence : section.words) into.says.push_back(sentence);
}

report::ReportRun report_run(const Snapshot& snapshot, const RunView& run, const rules::Stock& stock,
                             double width) {
  report::ReportRun out;
  out.title = run_title(run);
  out.headline = run.headline;
  out.standing = run.standing;
  out.joints = joints_cell(run);
  out.bore = run.match.bottleneck ? print_number(run.match.narrowest_mm, 0) + " mm" : "–";
  out.flow = flow_cell(run);
  out.sea = sea_cell(run);
  for (std::size_t i = 0; i < run.placed.parts.size(); ++i)
    out.parts.push_back({part_text(run, i), joint_text(run, i)});
  const auto* opening = snapshot.find(run.run.opening);
  const SectionView section = opening != nullptr ? section_of(snapshot, *opening, &run) : SectionView{};
  add_says(out, run, section);
  for (const auto& remedy : run.remedies)
    out.remedies.push_back({remedy_title(remedy), remedy_lines(remedy)});
  out.figures.push_back(run_line_figure(run, width));
  if (section.drawn) out.figures.push_back(section_figure(snapshot, section, 0.72 * width));
  if (auto pump = pump_figure(run, stock, 0.72 * width)) out.figures.push_back(std::move(*pump));
  return out;
}

std::string cell(const std::optional<double>& minutes) {
  if (!minutes) return "never";
  if (*minutes < 120) return fmt::format("{} min", print_number(*minutes, *minutes < 10 ? 1 : 0));
  return fmt::format("{} h", print_number(*minutes / 60, 0));
}

report::ReportFlood report_flood(const FloodView& flood, const WaterView& water, const std::string& service) {
  report::ReportFlood out;
  out.rank = flood.rank;
  out.tag = flood.tag;
  out.service = service;
  out.way = flood.known ? flood.headline : flood.why_not;
  if (flood.rank == 0) return out;
  const LeakView& worst = flood.leaks.front();
  out.way = fmt::format("{}, {} mm", lower(worst.what), print_number(worst.bore_mm, 0));
  out.at_rest = worst.at_rest_lpm > 0
                    ? fmt::format("{} ({} to {})", print_number(worst.at_rest_lpm, 0),
                                  print_number(worst.at_rest_low, 0), print_number(worst.at_rest_high, 0))
                    : "dry";
  const double most = worst.at_rest_lpm > 0 ? worst.at_rest_lpm : worst.heeled_lpm;
  out.buckets =
      print_number(most / kBucket, most < 10 * kBucket ? 1 : 0) + (worst.at_rest_lpm > 0 ? "" : " heeled");
  out.heeled = print_number(worst.heeled_lpm, 0);
  out.sole = cell(water.sole_litres ? worst.sole_minutes : worst.minutes_500);
  out.pumped = cell(water.sole_litres ? worst.sole_minutes_pumped : worst.minutes_500_pumped);
  return out;
}

}  // namespace

report::ReportWater report_water(const Snapshot& snapshot, const rules::Tables& tables,
                                 const rules::Stock& stock, double width_paper) {
  const WaterView& water = snapshot.water;
  report::ReportWater out;
  for (const auto& run : water.runs) out.runs.push_back(report_run(snapshot, run, stock, width_paper));
  for (const auto& flood : water.floods) {
    const auto* opening = snapshot.find(flood.opening);
    const std::string service =
        opening != nullptr ? std::string(rules::label_of(tables.services(), opening->opening.service)) : "";
    out.floods.push_back(report_flood(flood, water, service));
  }
  out.pumps = pumps_text(water);
  out.sole_column = water.sole_litres ? "Sole wet in" : "500 L in";
  out.cautions = water.cautions;
  if (std::any_of(water.floods.begin(), water.floods.end(), [](const FloodView& f) { return f.rank > 0; }))
    out.flooding.push_back(flooding_figure(water, 0.72 * width_paper));
  return out;
}

}  // namespace spile::app
