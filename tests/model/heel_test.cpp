#include "model/heel.hpp"

#include <gtest/gtest.h>

using namespace spile::model;
using namespace spile::units;
using namespace spile::units::literals;

// Arithmetic by hand: 1.5 m x tan 7 degrees and x tan 30 degrees.
TEST(Heel, WaterRisesWithTheTangent) {
  EXPECT_NEAR(heel_rise(1500_mm, 7_deg).value(), 184, 0.5);
  EXPECT_NEAR(heel_rise(1500_mm, 30_deg).value(), 866, 0.5);
  EXPECT_EQ(heel_rise(0_mm, 30_deg), 0_mm);
  EXPECT_EQ(heel_rise(1500_mm, 0_deg), 0_mm);
}

TEST(Heel, SheerGoesUnderWhereTheRiseMeetsTheFreeboard) {
  const auto heel = sheer_immersion_heel(800_mm, 1600_mm);
  EXPECT_NEAR(heel.value(), 26.565, 0.001);  // arc tangent of one half
  EXPECT_NEAR(heel_rise(1600_mm, heel).value(), 800, 1e-9);
}
