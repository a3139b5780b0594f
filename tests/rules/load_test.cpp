#include "rules/load.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "rules/galvanic.hpp"
#include "shipped.hpp"

using namespace spile::rules;

// From memory: Roark, table 11.2, trunnion in a plate clamped at its edge: 9.360, 3.370, 1.146 and 0.262 for
// a boss of 0.10, 0.25, 0.50 and 0.80 of the plate, to three digits.
TEST(Load, TiltFactorOfAClampedPlate) {
  EXPECT_NEAR(tilt_stress_factor(0.10), 9.360, 0.005);
  EXPECT_NEAR(tilt_stress_factor(0.25), 3.370, 0.002);
  EXPECT_NEAR(tilt_stress_factor(0.50), 1.146, 0.002);
  EXPECT_NEAR(tilt_stress_factor(0.80), 0.262, 0.002);
}

// Worked by a second program from the same plate theory: 500 lbf (2224.11 N) at 150 mm, panel of 150 mm
// radius.
TEST(Load, StressInTheSkin) {
  EXPECT_NEAR(stress_under(2224.11, {37.5, 150, 10, 150}), 75.0, 0.4);
  EXPECT_NEAR(stress_under(2224.11, {37.5, 150, 6, 150}), 208.2, 1.0);
  EXPECT_NEAR(stress_under(2224.11, {75, 150, 10, 150}), 25.5, 0.15);
}

TEST(Load, ThicknessForHalfTheFlexuralStrength) {
  EXPECT_NEAR(thickness_needed(2224.11, 76, {37.5, 150, 0, 150}), 9.93, 0.05);
  EXPECT_NEAR(thickness_needed(2224.11, 76, {37.5, 150, 0, 200}), 11.47, 0.06);
}

// From memory: ISO 12215-5:2008, annex C: 502 psi^2 + 107 at a glass content of 0.30.
TEST(Load, FlexuralStrengthOfTheTable) {
  EXPECT_NEAR(shipped().threshold("laminate.flexural.strength").value, 502 * 0.3 * 0.3 + 107, 0.1);
}

RC_GTEST_PROP(Load, CarriedAndNeededAgree, ()) {
  const SkinLoad skin{*rc::gen::inRange(10, 200) * 1.0, *rc::gen::inRange(50, 400) * 1.0,
                      *rc::gen::inRange(2, 40) * 1.0, *rc::gen::inRange(20, 300) * 1.0};
  const double load = load_carried(76, skin);
  RC_ASSERT(load > 0);
  RC_ASSERT(std::abs(stress_under(load, skin) - 76) < 1e-9);
  RC_ASSERT(std::abs(thickness_needed(load, 76, skin) - skin.thickness_mm) < 1e-9 * skin.thickness_mm);
}

// Middles of the ranges of a galvanic chart as quoted in the trade press: silicon bronze -0.275, passive 316
// -0.05, aluminium -0.88 V.
TEST(Galvanic, PairsOfTheChart) {
  const auto& t = shipped();
  const auto gap = [&](const char* a, const char* b) {
    return *potential_gap(*t.material(a), *t.material(b));
  };
  EXPECT_NEAR(gap("silicon-bronze", "stainless-316"), 0.225, 0.005);
  EXPECT_EQ(judge_couple(gap("silicon-bronze", "stainless-316"), t), Couple::Caution);
  EXPECT_NEAR(gap("silicon-bronze", "aluminium"), 0.605, 0.005);
  EXPECT_EQ(judge_couple(gap("silicon-bronze", "aluminium"), t), Couple::Reject);
  EXPECT_NEAR(gap("dzr-brass", "silicon-bronze"), 0.075, 0.005);
  EXPECT_EQ(judge_couple(gap("dzr-brass", "silicon-bronze"), t), Couple::Compatible);
  EXPECT_FALSE(potential_gap(*t.material("reinforced-nylon"), *t.material("aluminium")));
}
