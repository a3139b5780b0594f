#include "metrology/decision.hpp"

#include <cassert>
#include <cmath>

#include "metrology/uncertainty.hpp"

namespace spile::metrology {

Conformity at_least(double value, double guard, double limit) {
  assert(std::isfinite(value) && std::isfinite(limit) && guard >= 0 && "a judgement needs numbers");
  if (value - guard >= limit) return Conformity::Met;
  if (value + guard < limit) return Conformity::NotMet;
  return Conformity::TooCloseToTell;
}

Conformity at_most(double value, double guard, double limit) {
  return at_least(-value, guard, -limit);
}

double conformance_probability(double value, double u, std::optional<double> lower,
                               std::optional<double> upper) {
  assert(u >= 0 && "a standard uncertainty is not negative");
  if (u == 0) return (!lower || value >= *lower) && (!upper || value <= *upper) ? 1 : 0;
  const double below_upper = upper ? normal_probability((*upper - value) / u) : 1;
  const double below_lower = lower ? normal_probability((*lower - value) / u) : 0;
  return below_upper - below_lower;
}

}  // namespace spile::metrology
