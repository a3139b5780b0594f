// Days of the calendar as ISO 8601 writes them, and the time between two.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace spile::units {

using Day = std::chrono::sys_days;

// "2026-04-12"; nothing for what is no day of the Gregorian calendar.
[[nodiscard]] std::optional<Day> parse_date(std::string_view iso);
[[nodiscard]] std::string print_date(Day day);
// The same day of the month, or that month's last.
[[nodiscard]] Day months_later(Day day, int months);
[[nodiscard]] int days_between(Day from, Day to);
// In mean Gregorian years of 365.2425 days.
[[nodiscard]] double years_between(Day from, Day to);
[[nodiscard]] Day years_later(Day day, double years);  // to the nearest day

}  // namespace spile::units
