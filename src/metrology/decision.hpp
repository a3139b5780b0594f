// Judging a measured value against a limit with a guard band (JCGM 106:2012; ILAC-G8:09/2019).
#pragma once

#include <optional>

namespace spile::metrology {

enum class Conformity { Met, NotMet, TooCloseToTell };

// Lower limit: met when value - guard >= limit, not met when value + guard < limit, else too close.
// `guard` is the half-width of the 95 % interval (ILAC-G8: w = U). All in one unit.
[[nodiscard]] Conformity at_least(double value, double guard, double limit);
[[nodiscard]] Conformity at_most(double value, double guard, double limit);

// Probability that the true value lies within the limits, for a normal state of knowledge (JCGM 106, clause
// 7).
[[nodiscard]] double conformance_probability(double value, double u, std::optional<double> lower,
                                             std::optional<double> upper);

}  // namespace spile::metrology
