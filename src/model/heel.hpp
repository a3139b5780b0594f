// How far the water climbs the hull when she heels. Lengths in mm, angles from upright.
#pragma once

#include <cmath>
#include <numbers>

#include "units/quantity.hpp"

namespace spile::model {

[[nodiscard]] inline double tangent(units::Degree angle) {
  return std::tan(angle.value() * std::numbers::pi / 180);
}

// Rise of the water at `half_breadth` from the centreline on the low side: y tan(heel), turning about the
// centreline at the waterline, without trim or sinkage (common practice; good to some 20 degrees, cautious
// for flared sides beyond).
[[nodiscard]] inline units::Millimetre heel_rise(units::Millimetre half_breadth, units::Degree heel) {
  return half_breadth * tangent(heel);
}

// Rise of the water at a distance along the hull from the point she trims about: x tan(trim), as heel_rise.
[[nodiscard]] inline units::Millimetre trim_rise(units::Millimetre from_middle, units::Degree trim) {
  return from_middle * tangent(trim);
}

// The heel at which the sheer meets the water: EN ISO 9093:2021, clause 3, ends the heeled waterline of
// sailing monohulls there. Both lengths above zero.
[[nodiscard]] inline units::Degree sheer_immersion_heel(units::Millimetre freeboard,
                                                        units::Millimetre half_beam) {
  return units::Degree(std::atan2(freeboard.value(), half_beam.value()) * 180 / std::numbers::pi);
}

}  // namespace spile::model
