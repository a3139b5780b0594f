// Inside of src/hydraulics: a pipeline with one of its uncertain figures moved to either end of its interval.
#pragma once

#include <string>
#include <vector>

#include "hydraulics/pipeline.hpp"

namespace spile::hydraulics {

struct Variation {
  std::string term;  // "Bore of Hose tail"
  Pipeline one, other;
};
[[nodiscard]] std::vector<Variation> variations(const Pipeline& pipeline);

// The flow solve() would find, looked for from a flow close to it, to nine digits; 0 where nothing flows.
[[nodiscard]] units::LitrePerMinute flow_near(const Pipeline& pipeline, units::Millimetre fall,
                                              const PumpCurve* pump, units::LitrePerMinute near);

}  // namespace spile::hydraulics
