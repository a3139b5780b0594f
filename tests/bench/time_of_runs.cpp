#include "time_of_runs.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "../app/random_runs.hpp"
#include "app/run_view.hpp"

namespace spile::bench {
namespace {

double seconds_of(const auto& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void count(const app::FlowView& flow, RunsTime& into) {
  if (!flow.flows()) {
    ++into.refused;
  } else if (std::isfinite(flow.lpm) && flow.lpm >= 0 && flow.lpm < 1e5) {
    ++into.flowing;
  } else {
    ++into.diverged;
  }
}

}  // namespace

RunsTime time_of_runs(int runs, unsigned seed, int rounds) {
  const auto many = app::test::random_runs(runs, seed);
  const auto tables = rules::Tables::load_shipped().value();
  const auto stock = rules::Stock::load_shipped().value();
  RunsTime out{runs, 0, 0, 0, 1e9, 1e9};
  app::WaterView water;
  for (int i = 0; i < std::max(rounds, 1); ++i)
    out.whole_s =
        std::min(out.whole_s, seconds_of([&] { water = app::water_of(many.facts(tables, stock)); }));
  std::vector<std::pair<hydraulics::Pipeline, units::Millimetre>> lines;
  for (const auto& run : water.runs) {
    count(run.at_rest, out);
    count(run.heeled, out);
    if (run.at_rest.drive == app::Drive::Gravity && run.at_rest.flows())
      lines.emplace_back(app::pipeline_of(run.placed.parts, stock), units::Millimetre(run.at_rest.fall_mm));
  }
  double sink = 0;
  for (int i = 0; i < std::max(rounds, 1); ++i)
    out.flow_s = std::min(out.flow_s, seconds_of([&] {
                            for (const auto& [line, fall] : lines)
                              sink += hydraulics::solve(line, fall)->flow.value();
                          }));
  if (!lines.empty() && std::isfinite(sink))
    out.flow_s *= static_cast<double>(runs) / static_cast<double>(lines.size());
  return out;
}

}  // namespace spile::bench
