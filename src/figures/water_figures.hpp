// Pictures of a run: its parts as a line with bores to scale, its heights against the sea, pump against
// system, and flooding against depth. Data in, figure out; lengths in mm of the boat unless they say paper.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "figures/figure.hpp"
#include "hydraulics/pipeline.hpp"
#include "rules/run_joints.hpp"

namespace spile::figures {

// Fixture on the left, sea on the right; heights of the pieces are bores to one scale, lengths are not. A
// joint that does not match gets a mark and its word, the narrowest part its bore in bold.
[[nodiscard]] Figure run_line(const rules::PlacedRun& run, const rules::RunMatch& match, double width_paper);

// One point of the run as it lies in the boat.
struct RunPoint {
  double along = 0, height = 0, toward_low_side = 0;
};
struct RunSea {
  std::string opening;  // its tag
  double rim = 0;       // height of the fixture's rim above the waterline at rest
  double heel_deg = 0, sinkage = 0;
};
// Heights along the run, with the water at rest and, as it stands over each point, heeled.
[[nodiscard]] Figure run_heights(std::span<const RunPoint> points, const RunSea& sea, double width_paper);

// Head against flow: what the pump gives, what the run needs, and where they meet. `fall` as in
// hydraulics::solve.
[[nodiscard]] Figure pump_and_system(const hydraulics::PumpCurve& pump, const hydraulics::Pipeline& run,
                                     units::Millimetre fall, double width_paper);

// One opening among the curves: its bore and the depth it lies at.
struct FloodPoint {
  std::string tag;
  double bore = 0, depth = 0, lpm = 0;
};
// Flow against depth for three bores, with these openings on it.
[[nodiscard]] Figure flooding_by_depth(std::span<const FloodPoint> openings, double cd, double width_paper);

}  // namespace spile::figures
