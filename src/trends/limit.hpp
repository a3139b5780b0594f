// When a quantity that changes reaches a limit, or why the values cannot say.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "trends/value_trend.hpp"

namespace spile::trends {

enum class Bad { Above, Below };  // on which side of the limit something has to be done

enum class Reach { Passed, Expected, MovesAway, CannotSay };
[[nodiscard]] std::string_view key(Reach reach);

struct LimitDate {
  Reach reach = Reach::CannotSay;
  units::Day date;              // the line meets the limit; where Expected
  units::Day earliest, latest;  // 95 %, where Expected
  std::string why;              // a sentence: what was found, or why it cannot be said
};

// A date is given only for a steady change in three seasons or more, no further ahead than
// `kHorizon` times the years observed. The interval is Fieller's: every day on which the limit lies within
// the line's 95 % band. Already beyond the limit by the line on the last day: Passed.
inline constexpr double kHorizon = 3;
[[nodiscard]] LimitDate limit_date(const ValueTrend& trend, double limit, Bad bad);

}  // namespace spile::trends
