#include "hydraulics/friction.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

using namespace spile::hydraulics;

TEST(Friction, LaminarIsExact) {
  EXPECT_NEAR(friction_factor(1500, 0), 0.042667, 1e-6);
  EXPECT_NEAR(friction_factor(64, 0.02), 1, 1e-12);
}

// Colebrook's formula tabulated to four digits on an engineering site: e/D 0.001 at Re 1e4, 1e5 and 1e6.
TEST(Friction, PublishedTurbulentValues) {
  EXPECT_NEAR(friction_factor(1e5, 0.001), 0.0222, 5e-5);
  EXPECT_NEAR(friction_factor(1e6, 0.001), 0.0199, 5e-5);
  EXPECT_NEAR(friction_factor(1e4, 0.01), 0.0431, 5e-5);
  EXPECT_NEAR(friction_factor(1e5, 0.01), 0.0384, 0.005 * 0.0384);
  EXPECT_NEAR(friction_factor(1e6, 0.05), 0.0716, 0.005 * 0.0716);
}

// Worked by a second program from the same formula.
TEST(Friction, ColebrookToSixDigits) {
  EXPECT_NEAR(friction_factor(1e4, 0), 0.030883, 1e-6);
  EXPECT_NEAR(friction_factor(1e5, 0), 0.017990, 1e-6);
  EXPECT_NEAR(friction_factor(1e6, 0), 0.011645, 1e-6);
  EXPECT_NEAR(friction_factor(1e5, 1e-4), 0.018514, 1e-6);
  EXPECT_NEAR(friction_factor(1e5, 1e-3), 0.022175, 1e-6);
  EXPECT_NEAR(friction_factor(1e6, 1e-4), 0.013441, 1e-6);
  EXPECT_NEAR(friction_factor(1e4, 0.01), 0.043127, 1e-6);
  EXPECT_NEAR(friction_factor(4000, 0.05), 0.076987, 1e-6);
  EXPECT_NEAR(friction_factor(1e8, 0.05), 0.071551, 1e-6);
  EXPECT_NEAR(friction_factor(4e4, 1e-3), 0.024804, 1e-6);
}

// From memory: Crane TP-410, fully turbulent friction factors of clean steel pipe: 0.019 at 2 in, 0.017 at 4
// in (bores 52.5 and 102.3 mm of schedule 40, roughness 0.0018 in).
TEST(Friction, FullyRoughSteel) {
  EXPECT_NEAR(friction_factor(1e9, 0.04572 / 52.5), 0.019, 0.05 * 0.019);
  EXPECT_NEAR(friction_factor(1e9, 0.04572 / 102.3), 0.017, 0.05 * 0.017);
}

TEST(Friction, TransitionJoinsBothEnds) {
  for (const double rough : {0.0, 0.001, 0.05}) {
    EXPECT_NEAR(friction_factor(2300.001, rough), 64 / 2300.0, 1e-6);
    EXPECT_NEAR(friction_factor(3999.999, rough), friction_factor(4000, rough), 1e-6);
  }
}

// Haaland (1983) claims 2 % of Colebrook's formula.
RC_GTEST_PROP(Friction, HaalandIsWithinWhatItClaims, ()) {
  const double reynolds = std::pow(10, *rc::gen::inRange(361, 800) / 100.0);
  const double rough = *rc::gen::inRange(0, 500) / 1e4;
  RC_ASSERT(std::abs(haaland(reynolds, rough) / friction_factor(reynolds, rough) - 1) < 0.021);
}

// The formula itself, with the answer put into it.
RC_GTEST_PROP(Friction, SolvesColebrook, ()) {
  const double reynolds = std::pow(10, *rc::gen::inRange(361, 800) / 100.0);
  const double rough = *rc::gen::inRange(0, 1000) / 1e4;
  const double x = 1 / std::sqrt(friction_factor(reynolds, rough));
  RC_ASSERT(std::abs(x + 2 * std::log10(rough / 3.7 + 2.51 * x / reynolds)) < 1e-12 * x);
}

// Head lost grows with the flow, also across the transition: f Re^2 never falls.
RC_GTEST_PROP(Friction, FasterNeverLosesLess, ()) {
  const double reynolds = *rc::gen::inRange(1, 10000);
  const double rough = *rc::gen::inRange(0, 500) / 1e4;
  const double faster = reynolds + *rc::gen::inRange(1, 500);
  RC_ASSERT(friction_factor(faster, rough) * faster * faster >
            friction_factor(reynolds, rough) * reynolds * reynolds);
}

// From memory: Crane TP-410, sudden changes. From memory: Streeter and Wylie, table of contraction
// coefficients: (1/Cc - 1)^2 is 0.363, 0.219 and 0.0147 for area ratios 0.1, 0.5 and 0.9; the two books
// differ by up to 0.09.
TEST(ChangeOfBore, AgainstTheBooks) {
  EXPECT_NEAR(contraction_loss(std::sqrt(0.5)), 0.25, 1e-12);
  EXPECT_NEAR(contraction_loss(std::sqrt(0.2)), 0.40, 1e-12);
  EXPECT_NEAR(contraction_loss(std::sqrt(0.1)), 0.45, 1e-12);
  EXPECT_NEAR(contraction_loss(std::sqrt(0.1)), 0.363, 0.09);
  EXPECT_NEAR(contraction_loss(std::sqrt(0.5)), 0.219, 0.09);
  EXPECT_NEAR(contraction_loss(std::sqrt(0.9)), 0.0147, 0.09);
  EXPECT_NEAR(expansion_loss(0.5), 0.5625, 1e-12);
  EXPECT_EQ(contraction_loss(1), 0);
  EXPECT_EQ(expansion_loss(1), 0);
}

// Arithmetic by hand: a narrow place of bore d in a run of bore D costs [0.5 (1 - b^2) + (1 - b^2)^2]/b^4 on
// the velocity in D.
TEST(ChangeOfBore, ReducerReferredToTheLargeBore) {
  const auto pair = [](double large, double small) {
    const double b = small / large;
    return (contraction_loss(b) + expansion_loss(b)) / std::pow(b, 4);
  };
  EXPECT_NEAR(pair(38, 25), 3.231, 0.002);
  EXPECT_NEAR(pair(38, 32), 0.457, 0.002);
  EXPECT_NEAR(pair(38, 19), 15.0, 0.01);
  EXPECT_NEAR(pair(25, 19), 1.168, 0.002);
}
