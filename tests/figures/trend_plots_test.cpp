// A quantity over the seasons as a picture: every value with its interval, methods told apart, the limit in
// sight.
#include "figures/trend_plots.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace spile::figures {
namespace {

units::Day day(const char* iso) {
  return units::parse_date(iso).value();
}

trends::ValueTrend trend() {
  return trends::value_trend(model::Quantity::CrackLength, "",
                             {{day("2022-04-01"), 10, 1, model::Method::Caliper},
                              {day("2024-04-01"), 13, 2, model::Method::PhotoAuto},
                              {day("2026-04-01"), 16, 1, model::Method::Caliper}});
}

std::vector<Mark> marks_of(const Figure& figure) {
  std::vector<Mark> marks;
  for (const auto& item : figure.items)
    if (const auto* mark = std::get_if<Mark>(&item)) marks.push_back(*mark);
  return marks;
}

std::string words_of(const Figure& figure) {
  std::string words;
  for (const auto& item : figure.items)
    if (const auto* label = std::get_if<Label>(&item)) words += label->text + "\n";
  return words;
}

void expect_inside(const Figure& figure) {
  for (const auto& mark : marks_of(figure)) {
    EXPECT_GE(mark.at.x, 0);
    EXPECT_LE(mark.at.x, figure.width);
    EXPECT_GE(mark.at.y, 0);
    EXPECT_LE(mark.at.y, figure.height);
  }
}

TEST(TrendPlot, ShowsEachValueAndTellsMethodsApart) {
  const auto figure = trend_plot(trend(), std::nullopt, 110);
  expect_inside(figure);
  const auto marks = marks_of(figure);
  ASSERT_EQ(marks.size(), 3U + 2U) << "three values, two methods in the legend";
  EXPECT_EQ(marks[0].shape, marks[2].shape);
  EXPECT_NE(marks[0].shape, marks[1].shape);
  EXPECT_LT(marks[0].at.x, marks[1].at.x);
  EXPECT_GT(marks[0].at.y, marks[2].at.y) << "what grows goes up";
  for (const char* words : {"Crack length, mm", "2022-04", "2026-04", "Caliper", "Photo"})
    EXPECT_THAT(words_of(figure), testing::HasSubstr(words));
}

TEST(TrendPlot, ShowsALimitNearbyOnly) {
  EXPECT_THAT(words_of(trend_plot(trend(), TrendLimit{20, "limit"}, 110)), testing::HasSubstr("limit"));
  EXPECT_THAT(words_of(trend_plot(trend(), TrendLimit{900, "limit"}, 110)),
              testing::Not(testing::HasSubstr("limit")));
}

TEST(TrendPlot, OneValueIsDrawnToo) {
  const auto figure = trend_plot(trends::value_trend(model::Quantity::CrackLength, "", {trend().values[0]}),
                                 std::nullopt, 110);
  EXPECT_EQ(marks_of(figure).size(), 2U);
  expect_inside(figure);
}

TEST(GradePlot, HasTheBestOnTop) {
  const std::vector<trends::SeasonGrade> grades = {
      {day("2024-04-01"), 1}, {day("2025-04-01"), 2}, {day("2026-04-01"), 4}};
  const auto figure = grade_plot(grades, {"sound", "worn", "poor", "failed"}, 110);
  expect_inside(figure);
  const auto marks = marks_of(figure);
  ASSERT_EQ(marks.size(), 3U);
  EXPECT_LT(marks[0].at.y, marks[1].at.y);
  EXPECT_LT(marks[1].at.y, marks[2].at.y);
  EXPECT_NE(marks[0].shape, marks[2].shape);
}

}  // namespace
}  // namespace spile::figures
