// A value with its interval as people read it.
#pragma once

#include <string>
#include <string_view>

namespace spile::metrology {

// "38.12 ± 0.11 mm": the interval to two significant digits, the value to the same place (JCGM
// 100:2008, 7.2.6). `unit` may be empty. u95 > 0 and finite, else the value alone to two decimals.
[[nodiscard]] std::string print_interval(double value, double u95, std::string_view unit);

}  // namespace spile::metrology
