#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "metrology/uncertainty.hpp"

using namespace spile::metrology;

namespace {

// JCGM 100:2008, H.1 (end-gauge calibration), table H.1; nm.
Budget end_gauge() {
  Budget budget;
  budget.add("standard gauge", 75.0 / 3, 18)
      .add("comparator, repeated", 13 / std::sqrt(5.0), 24)
      .add("comparator, random", 10 / student_quantile(0.975, 5), 5)
      .add("comparator, systematic", 20.0 / 3, 8)
      .add("difference of expansion coefficients", 2.89, 50)
      .add("difference of temperatures", 16.6, 2);
  return budget;
}

}  // namespace

// JCGM 100:2008, H.1.6: u_c = 32 nm, nu_eff = 16, t99(16) = 2.92, U99 = 93 nm.
TEST(Budget, EndGaugeExampleOfJcgm100) {
  const auto result = end_gauge().expanded();
  EXPECT_NEAR(result.u, 31.66, 0.05);
  EXPECT_EQ(std::round(result.u), 32);
  EXPECT_EQ(std::floor(result.degrees_of_freedom), 16);
  const double t99 = student_quantile(0.995, std::floor(result.degrees_of_freedom));
  EXPECT_NEAR(t99, 2.92, 0.005);
  EXPECT_NEAR(t99 * 32, 93, 0.5);
}

// JCGM 100, 4.3.2 worked with the four comparator terms of H.1.3.2: u(d) = 9.7 nm, nu_eff = 25.6.
TEST(Budget, ComparatorOfTheEndGaugeExample) {
  Budget d;
  d.add("repeated", 13 / std::sqrt(5.0), 24).add("random", 3.9, 5).add("systematic", 6.7, 8);
  EXPECT_NEAR(d.expanded().u, 9.7, 0.05);
  EXPECT_NEAR(d.expanded().degrees_of_freedom, 25.6, 0.3);
}

// JCGM 100, G.4.1: t is taken at the next lower whole number of degrees of freedom. Table G.2: t95(12)
// = 2.18.
TEST(Budget, CoverageAtTheTruncatedDegreesOfFreedom) {
  Budget budget;
  budget.add("a", 0.3, 4).add("b", 0.4, 9);
  const auto result = budget.expanded();
  EXPECT_NEAR(result.u, 0.5, 1e-12);
  EXPECT_NEAR(result.degrees_of_freedom, 12.835, 0.001);
  EXPECT_NEAR(result.coverage_factor, 2.18, 0.005);
  EXPECT_NEAR(result.u95, 0.5 * student_quantile(0.975, 12), 1e-12);
}

// Table G.2 of JCGM 100: t95(4) = 2.78; a whole number must not be truncated by rounding of the arithmetic.
TEST(Budget, OneTermKeepsItsOwnDegreesOfFreedom) {
  for (int nu = 1; nu <= 50; ++nu) {
    Budget budget;
    budget.add("readings", 0.0707106, nu);
    EXPECT_NEAR(budget.expanded().coverage_factor, student_quantile(0.975, nu), 1e-9) << nu;
  }
}

TEST(Budget, WellKnownTermsGiveTheNormalFactor) {
  Budget budget;
  budget.add("scale", 0.03).add("edge", 0.04);
  EXPECT_NEAR(budget.expanded().u, 0.05, 1e-12);
  EXPECT_NEAR(budget.expanded().coverage_factor, 1.959964, 1e-5);
}

TEST(Budget, NothingInGivesNothingOut) {
  EXPECT_EQ(Budget().expanded().u95, 0);
  EXPECT_EQ(Budget().add("nothing", 0).expanded().u95, 0);
}

TEST(Budget, TermsLargestFirst) {
  Budget budget;
  budget.add("small", 0.01).add("large", 0.5).add("middle", 0.1);
  const auto terms = budget.terms();
  ASSERT_EQ(terms.size(), 3u);
  EXPECT_EQ(terms[0].term, "large");
  EXPECT_EQ(terms[2].term, "small");
}

RC_GTEST_PROP(Budget, CombinedIsNoLessThanTheLargestAndNoMoreThanTheSum, ()) {
  const auto raw = *rc::gen::nonEmpty(rc::gen::container<std::vector<int>>(rc::gen::inRange(1, 1'000'000)));
  Budget budget;
  double largest = 0, sum = 0;
  for (const int r : raw) {
    const double u = r / 1e4;
    budget.add("term", u, 1 + r % 30);
    largest = std::max(largest, u);
    sum += u;
  }
  const auto result = budget.expanded();
  RC_ASSERT(result.u >= largest * (1 - 1e-12));
  RC_ASSERT(result.u <= sum * (1 + 1e-12));
  RC_ASSERT(result.degrees_of_freedom >= 1 - 1e-9);
  RC_ASSERT(result.coverage_factor >= 1.9599);
}
