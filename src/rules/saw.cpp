#include "rules/saw.hpp"

#include <cmath>

namespace spile::rules {

std::optional<SawChoice> saw_for(double stem_mm, const Tables& tables) {
  const double wobble = tables.threshold("size.saw.wobble").value;
  const double u95 = tables.threshold("size.saw.wobble.u95").value;
  const double least = tables.threshold("size.clearance.least").value;
  const double most = tables.threshold("size.clearance.most").value;
  const double aim =
      (tables.threshold("size.clearance.from").value + tables.threshold("size.clearance.to").value) / 2;
  std::optional<SawChoice> found;
  for (const auto& saw : tables.hole_saws()) {
    const double cut = saw.diameter_mm + wobble, clearance = cut - stem_mm;
    if (clearance < least || clearance > most) continue;
    if (found && std::abs(found->clearance_mm - aim) <= std::abs(clearance - aim)) continue;
    found = SawChoice{&saw, cut, u95, clearance};
  }
  return found;
}

const HoleSaw* guide_saw(double hole_mm, const Tables& tables) {
  // Looser than this it guides nothing.
  constexpr double kPlay = 1.0;
  const HoleSaw* found = nullptr;
  for (const auto& saw : tables.hole_saws())
    if (saw.diameter_mm <= hole_mm && saw.diameter_mm >= hole_mm - kPlay) found = &saw;
  return found;
}

}  // namespace spile::rules
