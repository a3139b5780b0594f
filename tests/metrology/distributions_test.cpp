#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "metrology/uncertainty.hpp"

using namespace spile::metrology;

// Quantile tables of the standard normal distribution, as printed in statistics handbooks.
TEST(Distributions, NormalQuantileTable) {
  EXPECT_NEAR(normal_quantile(0.90), 1.281552, 1e-6);
  EXPECT_NEAR(normal_quantile(0.95), 1.644854, 1e-6);
  EXPECT_NEAR(normal_quantile(0.975), 1.959964, 1e-6);
  EXPECT_NEAR(normal_quantile(0.99), 2.326348, 1e-6);
}

TEST(Distributions, NormalProbabilityTable) {
  EXPECT_NEAR(normal_probability(0), 0.5, 1e-12);
  EXPECT_NEAR(normal_probability(1.645), 0.95002, 1e-5);
  EXPECT_NEAR(normal_probability(2), 0.97725, 1e-5);
  EXPECT_NEAR(normal_probability(-2), 0.02275, 1e-5);
}

// Quantile tables of Student's t; the first five also in JCGM 100:2008, table G.2, to two decimals.
TEST(Distributions, StudentQuantileTable) {
  EXPECT_NEAR(student_quantile(0.975, 1), 12.7062, 5e-5);
  EXPECT_NEAR(student_quantile(0.975, 4), 2.776445, 1e-6);
  EXPECT_NEAR(student_quantile(0.975, 9), 2.262157, 1e-6);
  EXPECT_NEAR(student_quantile(0.975, 30), 2.042272, 1e-6);
  EXPECT_NEAR(student_quantile(0.995, 16), 2.920782, 1e-6);
}

// JCGM 100:2008, 4.3.7, 4.3.9 and F.2.2.1; arithmetic exact.
TEST(Distributions, StandardUncertaintyOfShapes) {
  EXPECT_NEAR(rectangular(0.5), 0.288675, 1e-6);
  EXPECT_NEAR(triangular(0.5), 0.204124, 1e-6);
  EXPECT_NEAR(arcsine(0.5), 0.353553, 1e-6);
  EXPECT_NEAR(resolution(0.1), 0.028868, 1e-6);
}

RC_GTEST_PROP(Distributions, QuantileUndoesProbability, ()) {
  const double p = *rc::gen::inRange(1, 1'000'000) / 1e6;
  RC_PRE(p < 1);
  RC_ASSERT(std::abs(normal_probability(normal_quantile(p)) - p) < 1e-12);
}

RC_GTEST_PROP(Distributions, StudentIsWiderThanNormalAndSymmetric, ()) {
  const double p = *rc::gen::inRange(501, 999) / 1e3;
  const double nu = *rc::gen::inRange(1, 5000);
  RC_ASSERT(student_quantile(p, nu) > normal_quantile(p));
  RC_ASSERT(std::abs(student_quantile(p, nu) + student_quantile(1 - p, nu)) <
            1e-9 * student_quantile(p, nu) + 1e-12);
}
