// Two metals touching in sea water: how far apart their potentials lie.
#pragma once

#include <optional>

#include "rules/tables.hpp"

namespace spile::rules {

enum class Couple { Compatible, Caution, Reject };

// Volts between the middles of the published ranges; absent where the charts have no row for one of them.
[[nodiscard]] std::optional<double> potential_gap(const Material& a, const Material& b);
[[nodiscard]] Couple judge_couple(double gap_v, const Tables& tables);

}  // namespace spile::rules
