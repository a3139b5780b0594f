// The sentences of runs and flooding: the window, the command line and the report say the same ones.
#pragma once

#include <string>
#include <vector>

#include "app/water.hpp"

namespace spile::app {

[[nodiscard]] std::string run_title(const RunView& run);  // "P-03 head basin", or "Run"
[[nodiscard]] std::string part_text(const RunView& run,
                                    std::size_t part);  // "2. Hose ..., bore 25.00 ± 0.50 mm"
[[nodiscard]] std::string joint_text(const RunView& run,
                                     std::size_t joint);  // what is wrong with it; else empty
[[nodiscard]] std::string chain_text(const RunView& run,
                                     std::size_t joint);    // how stocked parts would bridge it
[[nodiscard]] std::string flow_text(const FlowView& flow);  // sentences; may be empty
[[nodiscard]] std::string backflow_text(const BackflowView& back);

// Everything about what flows in a run, each line with when: "At rest: 23 L/min (20 to 26). ...".
[[nodiscard]] std::vector<std::string> flow_lines(const RunView& run);
// What the sea does in it, at rest and heeled.
[[nodiscard]] std::vector<const BackflowView*> backflows(const RunView& run);

[[nodiscard]] std::string remedy_title(const RemedyView& remedy);
[[nodiscard]] std::vector<std::string> remedy_lines(
    const RemedyView& remedy);  // steps, what to buy, what is against it

[[nodiscard]] std::string flood_title(const FloodView& flood, const WaterView& water);
[[nodiscard]] std::vector<std::string> leak_lines(const FloodView& flood);  // one a way of letting go
[[nodiscard]] std::string time_text(const LeakView& leak);                  // how long that leaves
[[nodiscard]] std::string pumps_text(const WaterView& water);
[[nodiscard]] int ranked(const WaterView& water);  // how many can let water in

}  // namespace spile::app
