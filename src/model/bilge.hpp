// What the craft holds before it matters, and what pumps it out: for saying how long a flooding leaves.
#pragma once

#include <optional>

namespace spile::model {

struct Bilge {
  std::optional<double> sole_litres;    // that cover the cabin sole
  std::optional<double> waterplane_m2;  // absent: estimated from length and beam
  std::optional<double>
      other_pumps_lpm;  // pumps without a run of their own in the logbook, as they really deliver
  friend bool operator==(const Bilge&, const Bilge&) = default;
};

}  // namespace spile::model
