#include <gtest/gtest.h>

#include "metrology/uncertainty.hpp"

using namespace spile::metrology;

// NIST Statistical Reference Datasets, univariate summary statistics, NumAcc1: mean 10000002, s = 1 exactly
// (from memory: NIST StRD).
TEST(Readings, LargeMeanDoesNotSwallowTheSpread) {
  const auto r = repeated({10000001, 10000003, 10000002});
  EXPECT_EQ(r.mean, 10000002);
  EXPECT_EQ(r.s, 1);
}

// JCGM 100:2008, 4.2.1 to 4.2.3 and table G.2 (t95(4) = 2.78); arithmetic by hand.
TEST(Readings, FiveCaliperReadings) {
  const auto r = repeated({44.6, 44.8, 44.5, 44.7, 44.9});
  EXPECT_NEAR(r.mean, 44.70, 1e-9);
  EXPECT_NEAR(r.s, 0.158114, 1e-6);
  EXPECT_NEAR(r.u, 0.070711, 1e-6);
  EXPECT_EQ(r.degrees_of_freedom, 4);
  EXPECT_NEAR(student_quantile(0.975, r.degrees_of_freedom) * r.u, 0.196324, 1e-6);
}

// Inverse-variance weighting; arithmetic by hand: (10.1/0.01 + 10.3/0.04) / (100 + 25).
TEST(Readings, WeightedMeanLeansToTheBetterKnown) {
  const auto w = weighted_mean({10.1, 10.3}, {0.1, 0.2});
  EXPECT_NEAR(w.mean, 10.14, 1e-9);
  EXPECT_NEAR(w.u, 0.08944, 1e-5);
}
