#include "app/water_figures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/run_view.hpp"
#include "app/wording.hpp"
#include "figures/water_figures.hpp"

namespace spile::app {

figures::Figure run_line_figure(const RunView& run, double width_paper) {
  return figures::run_line(run.placed, run.match, width_paper);
}

figures::Figure run_heights_figure(const RunView& run, double width_paper) {
  std::vector<figures::RunPoint> points;
  for (const auto& p : run.profile) points.push_back({p.along_mm, p.height_mm, p.toward_low_side_mm});
  const double rim = run.run.outlet_height_mm.value_or(0) + run.run.basin_depth_mm.value_or(0);
  return figures::run_heights(points, {run.tag, rim, run.heel_deg, run.sinkage_mm}, width_paper);
}

std::optional<figures::Figure> pump_figure(const RunView& run, const rules::Stock& stock,
                                           double width_paper) {
  if (run.at_rest.drive != Drive::Pumped || !run.at_rest.flows()) return std::nullopt;
  for (const auto& part : run.placed.parts) {
    if (part.curve.empty()) continue;
    const auto pump = hydraulics::PumpCurve::parse(part.curve);
    if (!pump) return std::nullopt;
    const auto parts = std::span(run.placed.parts).first(run.at_rest.losses.size());
    return figures::pump_and_system(*pump, pipeline_of(parts, stock), units::Millimetre(run.at_rest.fall_mm),
                                    width_paper);
  }
  return std::nullopt;
}

figures::Figure flooding_figure(const WaterView& water, double width_paper) {
  std::vector<figures::FloodPoint> points;
  for (const auto& f : water.floods)
    if (f.known && f.leaks.front().at_rest_lpm > 0)
      points.push_back({f.tag, f.leaks.front().bore_mm, f.depth_at_rest_mm, f.leaks.front().at_rest_lpm});
  return figures::flooding_by_depth(points, 0.61, width_paper);
}

std::string flow_text(const FlowView& flow) {
  if (!flow.flows()) return flow.why_not;
  const auto& worst = flow.losses[flow.worst];
  const std::string where =
      fmt::format(" Most head, {} %, is lost in {}.", print_number(100 * worst.share, 0), lower(worst.part));
  if (flow.drive == Drive::Drawn)
    return fmt::format("The {} L/min of this service need {} mm of head; {} m/s at the narrowest.{}",
                       print_number(flow.lpm, 0), print_number(flow.needed_mm, 0),
                       print_number(worst.velocity, 1), where);
  std::string text = fmt::format("{} L/min ({} to {}).", print_number(flow.lpm, 1),
                                 print_number(flow.low_lpm, 1), print_number(flow.high_lpm, 1));
  if (flow.empty_minutes)
    text += fmt::format(" The basin empties in {} min.", print_number(*flow.empty_minutes, 1));
  return text + where;
}

std::string chain_text(const RunView& run, std::size_t joint) {
  const auto chain = run.chains.find(joint);
  if (chain == run.chains.end()) return {};
  if (!chain->second) return "No chain of stocked parts joins them.";
  std::string names;
  for (const auto* link : chain->second->parts)
    names += (names.empty() ? "" : ", ") + lower(link->choice.label);
  return fmt::format("It would take {}: {}.", counted(chain->second->parts.size(), "part"), names);
}

std::vector<std::string> leak_lines(const FloodView& flood) {
  std::vector<std::string> lines;
  for (const auto& l : flood.leaks)
    lines.push_back(fmt::format(
        "{} ({} mm, {}): {} L/min at rest ({} to {}), {} heeled; discharge coefficient {}", l.what,
        print_number(l.bore_mm, 1), l.how, print_number(l.at_rest_lpm, 0), print_number(l.at_rest_low, 0),
        print_number(l.at_rest_high, 0), print_number(l.heeled_lpm, 0), l.cd_source));
  return lines;
}

int ranked(const WaterView& water) {
  return static_cast<int>(
      std::count_if(water.floods.begin(), water.floods.end(), [](const FloodView& f) { return f.rank > 0; }));
}

}  // namespace spile::app
