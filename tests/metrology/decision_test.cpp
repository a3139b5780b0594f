#include "metrology/decision.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "metrology/uncertainty.hpp"

using namespace spile::metrology;

// JCGM 106:2012, clause 7 examples (inputs from memory: JCGM 106, 7.3 and 7.4).
TEST(ConformanceProbability, BreakdownVoltageExample) {
  EXPECT_NEAR(conformance_probability(-5.47, 0.05, std::nullopt, -5.40), 0.9192, 1e-4);
  EXPECT_NEAR(conformance_probability(5.47, 0.05, 5.40, std::nullopt), 0.9192, 1e-4);
}

TEST(ConformanceProbability, BurstPressureExample) {
  EXPECT_NEAR(conformance_probability(509.7, 8.6, 490, std::nullopt), 0.9890, 1e-4);
}

TEST(ConformanceProbability, TwoSidedExample) {
  EXPECT_NEAR(conformance_probability(13.6, 1.8, 12.5, 16.3), 0.6626, 1e-4);
}

// Computed independently with the normal distribution's tables.
TEST(ConformanceProbability, FurtherValues) {
  EXPECT_NEAR(conformance_probability(48.1, 0.3, 47, 48.5), 0.90867, 1e-4);
  EXPECT_NEAR(conformance_probability(19.4, 0.3, 19, std::nullopt), 0.9088, 1e-4);
  EXPECT_EQ(conformance_probability(19.0, 0, 19, std::nullopt), 1);
  EXPECT_EQ(conformance_probability(18.9, 0, 19, std::nullopt), 0);
  EXPECT_EQ(conformance_probability(18.9, 0.5, std::nullopt, std::nullopt), 1);
}

// ILAC-G8:09/2019: with a guard band w = U (k = 2) a value is accepted with less than 2.5 % risk of a false
// accept.
TEST(GuardBand, FalseAcceptStaysBelowTwoAndAHalfPercent) {
  const double u = 0.3;
  EXPECT_EQ(at_least(19.0 + 2 * u, 2 * u, 19.0), Conformity::Met);
  EXPECT_LT(1 - conformance_probability(19.0 + 2 * u, u, 19.0, std::nullopt), 0.025);
}

// ILAC-G8:09/2019, non-binary rule: inside the guard band nothing is passed, although p_c is 91 %.
TEST(GuardBand, ProbablyIsNotYes) {
  EXPECT_EQ(at_least(19.4, 0.6, 19.0), Conformity::TooCloseToTell);
  EXPECT_EQ(at_least(18.6, 0.5, 19.05), Conformity::TooCloseToTell);
  EXPECT_EQ(at_least(18.5, 0.5, 19.05), Conformity::NotMet);
  EXPECT_EQ(at_least(19.0, 0, 19.0), Conformity::Met) << "the limit itself is allowed";
}

// Acceptance interval of 47..50 with U = 0.4 is 47.4..49.6 (arithmetic of JCGM 106, clause 8.3).
TEST(GuardBand, AcceptanceInterval) {
  EXPECT_EQ(at_least(47.5, 0.4, 47), Conformity::Met);
  EXPECT_EQ(at_least(47.3, 0.4, 47), Conformity::TooCloseToTell);
  EXPECT_EQ(at_most(49.5, 0.4, 50), Conformity::Met);
  EXPECT_EQ(at_most(49.7, 0.4, 50), Conformity::TooCloseToTell);
  EXPECT_EQ(at_most(50.5, 0.4, 50), Conformity::NotMet);
}

RC_GTEST_PROP(GuardBand, AWiderGuardNeverTurnsDoubtIntoAnAnswer, ()) {
  const double value = *rc::gen::inRange(0, 40'000) / 1e3;
  const double narrow = *rc::gen::inRange(0, 2'000) / 1e3;
  const double wide = narrow + *rc::gen::inRange(0, 2'000) / 1e3;
  const auto before = at_least(value, narrow, 19.05);
  const auto after = at_least(value, wide, 19.05);
  RC_ASSERT(after == before || after == Conformity::TooCloseToTell);
}

RC_GTEST_PROP(GuardBand, AgreesWithTheProbability, ()) {
  const double value = *rc::gen::inRange(10'000, 30'000) / 1e3;
  const double u = *rc::gen::inRange(1, 1'000) / 1e3;
  const double p = conformance_probability(value, u, 19.05, std::nullopt);
  const auto verdict = at_least(value, normal_quantile(0.975) * u, 19.05);
  RC_ASSERT((verdict == Conformity::Met) == (p >= 0.975) || std::abs(p - 0.975) < 1e-9);
  RC_ASSERT((verdict == Conformity::NotMet) == (p < 0.025) || std::abs(p - 0.025) < 1e-9);
}
