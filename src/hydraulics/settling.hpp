// How long until she has taken in a volume or settled by so much, while the head over the hole grows as she
// settles.
#pragma once

#include <optional>

#include "units/quantity.hpp"

namespace spile::hydraulics {

struct Leak {
  units::Millimetre bore;              // > 0
  units::Millimetre depth;             // of the hole's lowest point under water now
  double coefficient = 0;              // discharge coefficient, above 0 up to 1
  units::SquareMillimetre waterplane;  // of the craft, straight-sided as she settles; > 0
};

// Until she floats `by` deeper: the integral of waterplane / (inflow - pumps) over the settling. The water
// inside is left out of account as a counter head, which is cautious. Nothing where the pumps keep up or the
// hole is dry.
[[nodiscard]] std::optional<units::Minute> time_to_settle(const Leak& leak, units::Millimetre by,
                                                          units::LitrePerMinute pumps);
// Until `volume` has come in: the settling that goes with it is volume / waterplane.
[[nodiscard]] std::optional<units::Minute> time_to_take_in(const Leak& leak, units::Litre volume,
                                                           units::LitrePerMinute pumps);

}  // namespace spile::hydraulics
