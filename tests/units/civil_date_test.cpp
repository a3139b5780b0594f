// Days of the calendar. Sources: ISO 8601-1:2019, 4.2.1 and 5.2.2 (leap years, calendar date); day numbers
// against the conversion of the Gregorian calendar to Julian day numbers, from memory: Explanatory Supplement
// to the Astronomical Almanac, 12.92 (Fliegel and van Flandern).
#include "units/civil_date.hpp"

#include <gtest/gtest.h>

namespace spile::units {
namespace {

Day day(const char* iso) {
  return parse_date(iso).value();
}

// Julian day number at noon, by Fliegel and van Flandern.
int julian_day(int y, int m, int d) {
  return 1461 * (y + 4800 + (m - 14) / 12) / 4 + 367 * (m - 2 - (m - 14) / 12 * 12) / 12 -
         3 * ((y + 4900 + (m - 14) / 12) / 100) / 4 + d - 32075;
}

TEST(CivilDate, OnlyDaysOfTheCalendarAreRead) {
  for (const char* good : {"2024-02-29", "2000-02-29", "2026-12-31"}) EXPECT_TRUE(parse_date(good)) << good;
  for (const char* bad : {"2025-02-29", "1900-02-29", "2026-13-01", "2026-00-01", "2026-04-31", "2026-4-12",
                          "26-04-12", "", "2026-04-1x", "-026-04-12", "2026-04-12T"})
    EXPECT_FALSE(parse_date(bad)) << bad;
}

TEST(CivilDate, IsPrintedAsItIsRead) {
  EXPECT_EQ(print_date(day("0999-01-02")), "0999-01-02");
  EXPECT_EQ(print_date(day("2026-04-12")), "2026-04-12");
}

TEST(CivilDate, CountsDaysAsTheJulianDayNumberDoes) {
  EXPECT_EQ(days_between(day("1999-12-31"), day("2000-03-01")),
            julian_day(2000, 3, 1) - julian_day(1999, 12, 31));
  EXPECT_EQ(days_between(day("2100-02-28"), day("2100-03-01")), 1);
  EXPECT_EQ(days_between(day("1987-05-06"), day("2031-11-30")),
            julian_day(2031, 11, 30) - julian_day(1987, 5, 6));
}

TEST(CivilDate, AMonthLaterIsTheSameDayOrTheMonthsLast) {
  EXPECT_EQ(print_date(months_later(day("2026-04-11"), 12)), "2027-04-11");
  EXPECT_EQ(print_date(months_later(day("2026-08-31"), 6)), "2027-02-28");
  EXPECT_EQ(print_date(months_later(day("2024-02-29"), 12)), "2025-02-28");
  EXPECT_EQ(print_date(months_later(day("2026-11-30"), 1)), "2026-12-30");
}

TEST(CivilDate, YearsGoThereAndBack) {
  const Day from = day("2021-10-03");
  for (const char* to : {"2021-10-03", "2022-04-12", "2033-01-31"})
    EXPECT_EQ(print_date(years_later(from, years_between(from, day(to)))), to);
  EXPECT_NEAR(years_between(day("1600-01-01"), day("2000-01-01")), 400, 1e-12) << "the calendar's own cycle";
}

}  // namespace
}  // namespace spile::units
