#include "units/civil_date.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace spile::units {

namespace {

constexpr double kDaysAYear = 365.2425;

}  // namespace

std::optional<Day> parse_date(std::string_view iso) {
  if (iso.size() != 10 || iso[4] != '-' || iso[7] != '-') return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t length, auto& into) {
    const char* first = iso.data() + at;
    return *first >= '0' && *first <= '9' &&
           std::from_chars(first, first + length, into).ptr == first + length;
  };
  int year = 0;
  unsigned month = 0, day = 0;
  if (!number(0, 4, year) || !number(5, 2, month) || !number(8, 2, day)) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month),
                                         std::chrono::day(day)};
  return date.ok() ? std::optional(Day(date)) : std::nullopt;
}

std::string print_date(Day day) {
  const std::chrono::year_month_day date(day);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

Day months_later(Day day, int months) {
  const std::chrono::year_month_day date(day);
  const auto then = date + std::chrono::months(months);
  if (then.ok()) return Day(then);
  return Day(then.year() / then.month() / std::chrono::last);
}

int days_between(Day from, Day to) {
  return static_cast<int>((to - from).count());
}

double years_between(Day from, Day to) {
  return days_between(from, to) / kDaysAYear;
}

Day years_later(Day day, double years) {
  return day + std::chrono::days(std::lround(years * kDaysAYear));
}

}  // namespace spile::units
