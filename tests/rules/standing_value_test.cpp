#include "rules/standing_value.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "cases.hpp"

using namespace spile;
using namespace spile::rules;
using Q = model::Quantity;

namespace {

const std::vector<model::SurveyId> kNewestFirst = {model::SurveyId{2}, model::SurveyId{1}};

model::Measurement seen_in(std::int64_t survey, Q quantity, double value, double u95) {
  auto m = reading(quantity, value, u95);
  m.survey = model::SurveyId{survey};
  return m;
}

double standing(const std::vector<model::Measurement>& all, Q quantity) {
  const auto* m = standing_value(all, quantity, kNewestFirst);
  return m ? m->value : -1;
}

}  // namespace

TEST(StandingValue, TheNewestSurveyCountsEvenWhereItIsLessSure) {
  EXPECT_EQ(standing({seen_in(2, Q::HoleDiameter, 38.9, 0.4), seen_in(1, Q::HoleDiameter, 37.2, 0.1)},
                     Q::HoleDiameter),
            38.9);
  EXPECT_EQ(standing({seen_in(1, Q::HoleDiameter, 37.2, 0.1)}, Q::HoleDiameter), 37.2);
  EXPECT_EQ(standing({seen_in(1, Q::HoleDiameter, 37.2, 0.1)}, Q::BoreDiameter), -1);
}

TEST(StandingValue, WithinASurveyTheSmallestInterval) {
  EXPECT_EQ(standing({seen_in(2, Q::FlangeDiameter, 78.4, 0.5), seen_in(2, Q::FlangeDiameter, 78.9, 0.1),
                      seen_in(1, Q::FlangeDiameter, 72, 0.05)},
                     Q::FlangeDiameter),
            78.9);
}

// A worse photo of this year's must not push last year's caliper aside: the skin is the same skin.
TEST(StandingValue, TheLaminateIsAsThickAsTheBestLookEverSaid) {
  EXPECT_EQ(
      standing({seen_in(1, Q::LaminateThickness, 18.9, 0.1), seen_in(2, Q::LaminateThickness, 19.6, 1.4)},
               Q::LaminateThickness),
      18.9);
  EXPECT_EQ(
      standing({seen_in(1, Q::LaminateThickness, 18.9, 0.1), seen_in(2, Q::LaminateThickness, 18.8, 0.1)},
               Q::LaminateThickness),
      18.8)
      << "as good: the newer one";
}

TEST(StandingValue, LooksOfTwoYearsThatDisagreeAboutTheLaminateAreNamedAndTheThinOneStands) {
  const std::vector all = {seen_in(2, Q::LaminateThickness, 20, 0.1),
                           seen_in(1, Q::LaminateThickness, 17, 0.3)};
  EXPECT_EQ(standing(all, Q::LaminateThickness), 17);
  const auto two = disagreement(all, Q::LaminateThickness, kNewestFirst);
  ASSERT_TRUE(two);
  EXPECT_EQ(two->first->value, 17);
  EXPECT_EQ(two->second->value, 20);
}

// A wild guess that contradicts nobody is no reason to take its value.
TEST(StandingValue, OnlyValuesThatDisagreeAreCandidatesForTheCautiousOne) {
  EXPECT_EQ(standing({seen_in(2, Q::LaminateThickness, 20, 0.1), seen_in(1, Q::LaminateThickness, 17, 0.3),
                      seen_in(1, Q::LaminateThickness, 15, 10)},
                     Q::LaminateThickness),
            17);
}

// The bound is E_n = 1, from memory: ISO 13528. By hand: sqrt(0.3^2 + 0.4^2) = 0.5.
TEST(StandingValue, WhereTheyDisagreeTheCautiousOne) {
  const auto two = [](Q quantity, double apart) {
    return std::vector{seen_in(2, quantity, 20, 0.4), seen_in(2, quantity, 20 + apart, 0.3)};
  };
  EXPECT_EQ(standing(two(Q::LaminateThickness, 0.6), Q::LaminateThickness), 20);
  EXPECT_EQ(standing(two(Q::LaminateThickness, 0.4), Q::LaminateThickness), 20.4);
  EXPECT_EQ(standing(two(Q::FlangeDiameter, -0.6), Q::FlangeDiameter), 20);
  EXPECT_TRUE(disagreement(two(Q::FlangeDiameter, -0.6), Q::FlangeDiameter, kNewestFirst));
  EXPECT_FALSE(disagreement(two(Q::FlangeDiameter, -0.4), Q::FlangeDiameter, kNewestFirst));
}

TEST(StandingValue, AnOlderSurveyIsNoDisagreement) {
  const std::vector all = {seen_in(2, Q::HoleDiameter, 40, 0.1), seen_in(1, Q::HoleDiameter, 38, 0.1)};
  EXPECT_FALSE(disagreement(all, Q::HoleDiameter, kNewestFirst)) << "a hole may have been opened up";
}

TEST(StandingValue, WhatIsNoNumberOrNoSizeIsNone) {
  EXPECT_EQ(standing({seen_in(2, Q::LaminateThickness, 0, 0.1)}, Q::LaminateThickness), -1);
  EXPECT_EQ(standing({seen_in(2, Q::LaminateThickness, std::nan(""), 0.1)}, Q::LaminateThickness), -1);
  EXPECT_EQ(standing({seen_in(2, Q::HoleOvality, 0, 0.1)}, Q::HoleOvality), 0);
}

// The order of the list is the order of typing, which says nothing about the boat.
RC_GTEST_PROP(StandingValue, TheOrderOfTheListDoesNotMatter, ()) {
  const auto quantity = *rc::gen::element(Q::FlangeDiameter, Q::LaminateThickness);
  std::vector<model::Measurement> all;
  for (int i = 0; i < 6; ++i)
    all.push_back(seen_in(*rc::gen::inRange(1, 4), quantity, *rc::gen::inRange(60, 80), 0.1 + 0.37 * i));
  const double before = standing(all, quantity);
  const auto turned = *rc::gen::inRange<std::ptrdiff_t>(0, 6);
  std::rotate(all.begin(), all.begin() + turned, all.end());
  RC_ASSERT(standing(all, quantity) == before);
}
