// Values over the seasons: what counts as a change, and that the intervals hold what they claim on drawn
// data.
#include "trends/value_trend.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "support.hpp"

namespace spile::trends {
namespace {

SeasonValue at(const char* day, double value, double u95, model::Method method = model::Method::Caliper) {
  return {units::parse_date(day).value(), value, u95, method};
}

TEST(ValueTrend, OneSeasonIsTooFew) {
  const auto trend = trend_of({at("2025-04-01", 38, 0.1), at("2025-04-01", 39, 0.1)});
  EXPECT_EQ(trend.change, Change::TooFew);
  EXPECT_FALSE(trend.rate);
  EXPECT_EQ(trend_of({}).change, Change::TooFew);
}

// The difference of two values is told from 0 when it is above the root of their squared intervals: JCGM
// 100:2008, 5.1.2.
TEST(ValueTrend, TwoSeasonsAreComparedByTheirIntervals) {
  const double together = std::hypot(0.3, 0.4);
  const auto changed = trend_of({at("2025-04-01", 38, 0.3), at("2026-04-01", 38 + together * 1.01, 0.4)});
  EXPECT_EQ(changed.change, Change::Changed);
  EXPECT_NEAR(changed.rate->u95, together * 365.2425 / 365, 1e-9);
  const auto noise = trend_of({at("2025-04-01", 38, 0.3), at("2026-04-01", 38 + together * 0.99, 0.4)});
  EXPECT_EQ(noise.change, Change::WithinNoise);
}

TEST(ValueTrend, TheBetterMethodWeighsMore) {
  const auto trend =
      trend_of({at("2024-04-01", 20.0, 0.1), at("2024-04-01", 24, 5, model::Method::Estimate),
                at("2026-04-01", 20.1, 0.1), at("2026-04-01", 17, 5, model::Method::Estimate)});
  EXPECT_EQ(trend.change, Change::WithinNoise);
  ASSERT_EQ(trend.methods.size(), 2U);
  EXPECT_EQ(trend.methods[0].method, model::Method::Caliper);
  EXPECT_EQ(trend.methods[0].values, 2);
  EXPECT_NEAR(trend.methods[0].rate->per_year, 0.05, 0.001);
  EXPECT_NEAR(trend.methods[1].rate->per_year, -3.5, 0.01);
  EXPECT_NEAR(trend.rate->per_year, 0.05, 0.01);
}

TEST(ValueTrend, ToAndFroIsAChangeWithoutARateToDrawOn) {
  const auto trend = trend_of({at("2020-04-01", 18, 1), at("2021-04-01", 30, 1), at("2022-04-01", 18, 1),
                               at("2023-04-01", 30, 1), at("2024-04-01", 18, 1)});
  EXPECT_EQ(trend.change, Change::Changed);
  EXPECT_FALSE(trend.steady);
  EXPECT_GT(trend.rate->u95, std::abs(trend.rate->per_year));
}

struct Shares {
  double holds = 0, changed = 0;
};

Shares tried(const Drawn& drawn, int trials) {
  std::mt19937 random(1957);
  int holds = 0, changed = 0;
  for (int i = 0; i < trials; ++i) {
    const auto trend = trend_of(draw(drawn, random));
    holds += std::abs(trend.rate->per_year - drawn.per_year) <= trend.rate->u95;
    changed += trend.change == Change::Changed;
  }
  return {static_cast<double>(holds) / trials, static_cast<double>(changed) / trials};
}

// 95 % intervals hold the truth in 95 of 100 drawn cases, to three standard deviations of the count; the
// wider of two may hold it more often.
TEST(ValueTrend, RatesHoldTheTruthAsOftenAsTheyClaim) {
  const int trials = 4000;
  const double slack = 3 * std::sqrt(0.95 * 0.05 / trials);
  for (const auto& drawn :
       {Drawn{38, 0, {0, 1}, {0.2, 0.2}}, Drawn{38, 0.4, {0, 1, 2, 3}, {0.2, 0.1, 0.5, 0.1}},
        Drawn{20, -0.3, {0, 0.5, 2, 5, 6, 7, 9}, {1, 1, 1, 0.1, 1, 1, 2}},
        Drawn{20, -0.3, {0, 1, 2, 3, 4, 5, 6}, {1, 1, 1, 1, 1, 1, 1}, 2.5}})
    EXPECT_GE(tried(drawn, trials).holds, 0.95 - slack) << drawn.years.size();
}

// Nothing changed: called a change in at most 5 of 100 by the line and 1 by the scatter.
TEST(ValueTrend, NoiseIsSeldomCalledAChange) {
  const int trials = 4000;
  for (const auto& drawn :
       {Drawn{38, 0, {0, 1}, {0.2, 0.2}}, Drawn{38, 0, {0, 1, 2, 3, 5}, {0.2, 0.1, 0.5, 0.1, 0.1}}})
    EXPECT_LE(tried(drawn, trials).changed, 0.06 + 3 * std::sqrt(0.06 * 0.94 / trials));
}

TEST(ValueTrend, AClearRateIsSeldomMissed) {
  EXPECT_GE(tried({38, 0.5, {0, 1, 2, 3, 4}, {0.3, 0.3, 0.3, 0.3, 0.3}}, 1000).changed, 0.99);
}

}  // namespace
}  // namespace spile::trends
