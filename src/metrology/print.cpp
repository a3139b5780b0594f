#include "metrology/print.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace spile::metrology {

std::string print_interval(double value, double u95, std::string_view unit) {
  const std::string tail = unit.empty() ? "" : fmt::format(" {}", unit);
  if (!(u95 > 0) || !std::isfinite(u95)) return fmt::format("{:.2f}{}", value, tail);
  // 0.0996 rounds up to 0.10: the place is that of the rounded interval.
  int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(u95))), 0, 6);
  const double unit_of_last = std::pow(10.0, -decimals);
  if (decimals > 0 && std::round(u95 / unit_of_last) >= 100) --decimals;
  return fmt::format("{:.{}f} ± {:.{}f}{}", value, decimals, u95, decimals, tail);
}

}  // namespace spile::metrology
