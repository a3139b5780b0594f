// When a limit is reached, with its interval, and when that cannot be said.
#include "trends/limit.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "support.hpp"

namespace spile::trends {
namespace {

using testing::HasSubstr;

ValueTrend exact(const std::vector<double>& years, double start, double per_year, double u95) {
  const units::Day first = units::parse_date("2015-04-01").value();
  std::vector<SeasonValue> values;
  for (const double y : years)
    values.push_back({units::years_later(first, y), start + per_year * y, u95, model::Method::Caliper});
  return trend_of(values);
}

TEST(LimitDate, IsWhereTheLineMeetsIt) {
  const auto trend = exact({0, 1, 2, 3, 4}, 10, 2, 0.5);
  const auto found = limit_date(trend, 22, Bad::Above);
  ASSERT_EQ(found.reach, Reach::Expected) << found.why;
  EXPECT_NEAR(units::years_between(trend.since(), found.date), 6, 0.01);
  EXPECT_LT(found.earliest, found.date);
  EXPECT_GT(found.latest, found.date);
}

// By hand after Fieller: readings at 0 ... 4 years, U = 0.5 each: U_level = 0.5 / sqrt 5, U_rate = 0.5 / sqrt
// 10, middle 2, level 14; (4 - 0.025) x^2 - 32 x + 64 - 0.05 = 0 for the limit 22.
TEST(LimitDate, HasFiellersInterval) {
  const auto trend = exact({0, 1, 2, 3, 4}, 10, 2, 0.5);
  const auto found = limit_date(trend, 22, Bad::Above);
  const double a = 4 - 0.025, b = -32, c = 64 - 0.05, root = std::sqrt(b * b - 4 * a * c);
  EXPECT_NEAR(units::years_between(trend.since(), found.earliest), 2 + (-b - root) / (2 * a), 0.01);
  EXPECT_NEAR(units::years_between(trend.since(), found.latest), 2 + (-b + root) / (2 * a), 0.01);
}

TEST(LimitDate, IsRefusedWhereTheFitCannotSay) {
  EXPECT_THAT(limit_date(exact({0}, 10, 2, 0.5), 22, Bad::Above).why, HasSubstr("One season"));
  EXPECT_THAT(limit_date(exact({0, 1}, 10, 2, 0.5), 22, Bad::Above).why, HasSubstr("third"));
  EXPECT_THAT(limit_date(exact({0, 1, 2}, 10, 0.1, 0.5), 22, Bad::Above).why,
              HasSubstr("not told from none"));
  EXPECT_THAT(limit_date(exact({0, 1, 2, 3}, 10, 0.5, 0.1), 22, Bad::Above).why, HasSubstr("too far"));
  const units::Day day = units::parse_date("2020-04-01").value();
  std::vector<SeasonValue> steps;
  for (int i = 0; i < 6; ++i)
    steps.push_back({units::months_later(day, 12 * i), i < 3 ? 10.0 + (i % 2) : 30.0 - (i % 2), 0.1, {}});
  EXPECT_EQ(limit_date(trend_of(steps), 40, Bad::Above).reach, Reach::CannotSay);
}

TEST(LimitDate, SaysWhatIsPastOrMovesAway) {
  EXPECT_EQ(limit_date(exact({0, 1, 2}, 10, 2, 0.5), 13, Bad::Above).reach, Reach::Passed);
  EXPECT_EQ(limit_date(exact({0, 1, 2}, 10, -2, 0.5), 7, Bad::Below).reach, Reach::Passed);
  EXPECT_EQ(limit_date(exact({0, 1, 2}, 10, 2, 0.5), 7, Bad::Below).reach, Reach::MovesAway);
  EXPECT_EQ(limit_date(exact({0, 1, 2}, 10, -2, 0.5), 3, Bad::Below).reach, Reach::Expected);
}

// The true day lies in the interval in 95 of 100 drawn cases, less three standard deviations of the count.
TEST(LimitDate, IntervalHoldsTheTrueDay) {
  std::mt19937 random(9093);
  const Drawn drawn{20, -0.5, {0, 1, 2, 3, 4, 5}, {0.5, 0.5, 0.3, 0.5, 0.5, 0.3}};
  const double truth = 10.0;  // years until 15
  int answered = 0, holds = 0;
  for (int i = 0; i < 4000; ++i) {
    const auto trend = trend_of(draw(drawn, random));
    const auto found = limit_date(trend, 15, Bad::Below);
    if (found.reach != Reach::Expected) continue;
    ++answered;
    holds += units::years_between(trend.since(), found.earliest) <= truth + 0.002 &&
             units::years_between(trend.since(), found.latest) >= truth - 0.002;
  }
  EXPECT_GE(answered, 3600);
  EXPECT_GE(holds, (0.95 - 3 * std::sqrt(0.95 * 0.05 / answered)) * answered);
}

}  // namespace
}  // namespace spile::trends
