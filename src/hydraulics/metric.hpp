// Inside of src/hydraulics: SI values of the trade's units.
#pragma once

#include <numbers>

#include "units/quantity.hpp"

namespace spile::hydraulics {

inline constexpr double kMillimetresPerMetre = 1000;
inline constexpr double kLitresPerMinute = 60'000;  // in one cubic metre a second

[[nodiscard]] constexpr double metres(units::Millimetre length) {
  return length.value() / kMillimetresPerMetre;
}
[[nodiscard]] constexpr double area_m2(units::Millimetre bore) {
  return std::numbers::pi / 4 * metres(bore) * metres(bore);
}

}  // namespace spile::hydraulics
