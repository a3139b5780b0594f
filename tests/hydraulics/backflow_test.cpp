#include "hydraulics/backflow.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

using namespace spile::hydraulics;
using namespace spile::units;
using namespace spile::units::literals;

namespace {

constexpr BackflowMargins kMargins{Millimetre(75), Millimetre(203.2)};

Backflow judged(double outlet, double highest, double rim, bool vented = false) {
  return judge_backflow({Millimetre(outlet), Millimetre(highest), Millimetre(rim), vented}, kMargins);
}

}  // namespace

TEST(AboveSea, UprightIsTheHeightItself) {
  EXPECT_EQ(above_sea(250_mm, 900_mm, 0_deg, 0_mm).value(), 250);
  EXPECT_EQ(above_sea(250_mm, 900_mm, 0_deg, 40_mm).value(), 210);
}

// Arithmetic by hand: 100 mm up and 1200 mm out, heeled by 30 degrees: 86.6 - 600.
TEST(AboveSea, LowSideGoesUnderHighSideComesOut) {
  EXPECT_NEAR(above_sea(100_mm, 1200_mm, 30_deg, 0_mm).value(), -513.4, 0.1);
  EXPECT_NEAR(above_sea(100_mm, -1200_mm, 30_deg, 0_mm).value(), 686.6, 0.1);
}

// The opening goes under exactly where the rise y tan(heel) reaches its height (EN ISO 9093:2021 as the zone
// rule has it).
RC_GTEST_PROP(AboveSea, AgreesWithTheRiseOfTheHeeledWaterline, ()) {
  const Millimetre out(*rc::gen::inRange(1, 2000));
  const Degree heel(*rc::gen::inRange(1, 45));
  const Millimetre rise = out * std::tan(heel.value() * std::acos(-1.0) / 180);
  RC_ASSERT(std::abs(above_sea(rise, out, heel, 0_mm).value()) < 1e-9);
}

// Common practice: a run is safe with its rim clear of the heeled water, or with a vented loop clear of it.
TEST(Backflow, EachCase) {
  EXPECT_EQ(judged(5, 300, -100), Backflow::OutletDry);
  EXPECT_EQ(judged(-50, 300, 250), Backflow::Clear);
  EXPECT_EQ(judged(-50, 60, 40), Backflow::Close);
  EXPECT_EQ(judged(-50, -10, -20), Backflow::RunsBack);
  EXPECT_EQ(judged(-50, 400, -100), Backflow::Siphons);
  EXPECT_EQ(judged(-50, 150, -100, true), Backflow::LoopTooLow);
  EXPECT_EQ(judged(-50, 400, -100, true), Backflow::HeldByLoop);
}

TEST(Backflow, WhatIsDangerous) {
  EXPECT_TRUE(dangerous(Backflow::Siphons));
  EXPECT_TRUE(dangerous(Backflow::RunsBack));
  EXPECT_TRUE(dangerous(Backflow::LoopTooLow));
  EXPECT_FALSE(dangerous(Backflow::HeldByLoop));
  EXPECT_FALSE(dangerous(Backflow::Close));
  EXPECT_FALSE(dangerous(Backflow::OutletDry));
}

RC_GTEST_PROP(Backflow, HigherLoopIsNeverWorse, ()) {
  const double outlet = *rc::gen::inRange(-500, 500), rim = *rc::gen::inRange(-500, 500);
  const double loop = *rc::gen::inRange(-500, 500), higher = loop + *rc::gen::inRange(0, 800);
  RC_ASSERT(dangerous(judged(outlet, loop, rim, true)) || !dangerous(judged(outlet, higher, rim, true)));
}
