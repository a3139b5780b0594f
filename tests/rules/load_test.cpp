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

// Roark, table 11.2, case 1f (guided inside, fixed outside, nu 0.3), worked by a second program: K of M = K w
// a.
TEST(Load, PulledStraightOut) {
  EXPECT_NEAR(pull_moment_factor(0.1), 0.1826, 2e-4);
  EXPECT_NEAR(pull_moment_factor(0.2), 0.2353, 2e-4);
  EXPECT_NEAR(pull_moment_factor(0.4), 0.2363, 2e-4);
  EXPECT_NEAR(pull_moment_factor(0.6), 0.1789, 2e-4);
  EXPECT_NEAR(pull_moment_factor(0.8), 0.0959, 2e-4);
  // a 150, b 60, t 10 mm under 500 lbf: w 5.900 N/mm, M 209.1 N, stress 12.55 MPa.
  const double w = 2224.11 / (2 * 3.14159265 * 60);
  EXPECT_NEAR(w, 5.900, 0.001);
  EXPECT_NEAR(6 * pull_moment_factor(0.4) * w * 150 / 100, 12.55, 0.05);
}

// By hand: 2224.11 / (pi 60 6) and 2224.11 / (pi 75 6).
TEST(Load, PunchingShear) {
  EXPECT_NEAR(punching_stress(2224.11, 30, 6), 1.967, 0.005);
  EXPECT_NEAR(punching_stress(2224.11, 37.5, 6), 1.573, 0.005);
}

// By hand: R - sqrt(R^2 - (d/2)^2).
TEST(Load, RiseOfACurveOverASeat) {
  EXPECT_NEAR(sagitta(1000, 75), 0.703, 0.002);
  EXPECT_NEAR(sagitta(600, 150), 4.706, 0.002);
  EXPECT_NEAR(sagitta(1500, 120), 1.200, 0.002);
  EXPECT_EQ(sagitta(50, 150), 50);
}

// Ring under a tilting moment, no tension: 333.6 N m on a base of 37.5 mm radius with a hole of 20 mm: 8.764
// MPa, which crushes Douglas fir across the grain (5.5 MPa, from memory: FPL Wood Handbook).
TEST(Load, PressureUnderABase) {
  EXPECT_NEAR(edge_pressure(333'616, 37.5, 20), 8.764, 0.03);
  EXPECT_NEAR(edge_pressure(333'616, 75, 20), 1.012, 0.005);
}

// 500 lbf at 150 mm on mat laminate of 152 MPa: safety 0.73, 2.0 and 7.3 for 6, 10 and 19 mm (same plate
// theory, worked by a second program); half of the strength is used.
TEST(Load, HowManyTimesTheAskedLoad) {
  const Strengths half{76, 8.6, 0.25};
  EXPECT_NEAR(check_load(2224.11, {37.5, 150, 6, 150}, half, 0.1, 0).times, 0.365, 0.005);
  EXPECT_NEAR(check_load(2224.11, {37.5, 150, 10, 150}, half, 0.1, 0).times, 1.01, 0.01);
  EXPECT_NEAR(check_load(2224.11, {37.5, 150, 19, 150}, half, 0.1, 0).times, 3.65, 0.05);
  const auto sure = check_load(2224.11, {37.5, 150, 10, 150}, half, 0.1, 0);
  const auto unsure = check_load(2224.11, {37.5, 150, 10, 150}, half, 1.0, 50);
  EXPECT_LT(sure.u95, unsure.u95);
  EXPECT_NEAR(sure.u95 / sure.times, 0.25, 0.01);
}

// From memory: ISO 12215-5:2008, annex C: 22.5 - 17.5 psi at a glass content of 0.30.
TEST(Load, ShearStrengthOfTheTable) {
  EXPECT_NEAR(shipped().threshold("laminate.shear.strength").value, 22.5 - 17.5 * 0.3, 0.01);
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
