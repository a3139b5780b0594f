#include "app/water_figures.hpp"

#include "app/run_view.hpp"
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

}  // namespace spile::app
