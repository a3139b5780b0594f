#include "rules/galvanic.hpp"

#include <cmath>

namespace spile::rules {

std::optional<double> potential_gap(const Material& a, const Material& b) {
  if (!a.potential_low || !b.potential_low) return std::nullopt;
  const double middle_a = (*a.potential_low + *a.potential_high) / 2;
  const double middle_b = (*b.potential_low + *b.potential_high) / 2;
  return std::abs(middle_a - middle_b);
}

Couple judge_couple(double gap_v, const Tables& tables) {
  if (gap_v >= tables.threshold("galvanic.reject").value) return Couple::Reject;
  if (gap_v >= tables.threshold("galvanic.caution").value) return Couple::Caution;
  return Couple::Compatible;
}

}  // namespace spile::rules
