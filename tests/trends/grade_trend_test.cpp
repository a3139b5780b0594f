// Grades over the seasons.
#include "trends/grade_trend.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace spile::trends {
namespace {

GradeTrend trend_of(const std::vector<int>& grades) {
  std::vector<SeasonGrade> seasons;
  units::Day day = units::parse_date("2010-04-01").value();
  for (const int grade : grades) {
    seasons.push_back({day, grade});
    day = units::months_later(day, 12);
  }
  return grade_trend(seasons);
}

TEST(GradeTrend, FourGradesAreTooFewWhateverTheyAre) {
  EXPECT_EQ(trend_of({}).change, Change::TooFew);
  EXPECT_EQ(trend_of({1, 2, 3, 4}).change, Change::TooFew);
  EXPECT_THAT(trend_of({1, 2, 3, 4}).test, testing::HasSubstr("5 surveys"));
}

TEST(GradeTrend, OneWayIsAChangeAndToAndFroIsNot) {
  const auto worse = trend_of({1, 1, 1, 2, 2, 3, 3});
  EXPECT_EQ(worse.change, Change::Changed);
  EXPECT_GT(worse.score, 0);
  const auto better = trend_of({4, 3, 3, 2, 1, 1});
  EXPECT_EQ(better.change, Change::Changed);
  EXPECT_LT(better.score, 0);
  EXPECT_EQ(trend_of({1, 2, 1, 2, 1, 2}).change, Change::WithinNoise);
  EXPECT_EQ(trend_of({1, 1, 1, 1, 1, 1}).change, Change::WithinNoise);
}

TEST(GradeTrend, GoesByTheDatesNotByTheOrderGiven) {
  auto seasons = trend_of({1, 1, 2, 2, 3, 4}).grades;
  std::swap(seasons.front(), seasons.back());
  EXPECT_EQ(grade_trend(seasons).score, trend_of({1, 1, 2, 2, 3, 4}).score);
}

}  // namespace
}  // namespace spile::trends
