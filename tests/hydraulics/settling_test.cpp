#include "hydraulics/settling.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "hydraulics/flooding.hpp"

using namespace spile::hydraulics;
using namespace spile::units;
using namespace spile::units::literals;

namespace {

Leak leak(double bore, double depth, double plan_m2 = 20) {
  return {Millimetre(bore), Millimetre(depth), kSharpEdge, SquareMillimetre(plan_m2 * 1e6)};
}

}  // namespace

// Closed form for a hole well under water: dz/dt = Cd a sqrt(2 g (h + z))/A, so t = 2 A (sqrt(h1) -
// sqrt(h0))/(Cd a sqrt(2 g)).
TEST(Settling, GrowingHeadInClosedForm) {
  const double a = std::numbers::pi / 4 * 0.038 * 0.038, h0 = 0.5, h1 = 0.7;
  const double seconds =
      2 * 20 * (std::sqrt(h1) - std::sqrt(h0)) / (kSharpEdge * a * std::sqrt(2 * kGravity));
  const auto t = time_to_settle(leak(38, 519), 200_mm, LitrePerMinute(0));
  EXPECT_NEAR(t->value() * 60, seconds, 1e-3 * seconds);
}

// Arithmetic by hand: so small a settling is filling at a constant rate.
TEST(Settling, SmallVolumeIsVolumeOverRate) {
  const auto t = time_to_take_in(leak(38, 519), Litre(1), LitrePerMinute(30));
  const double net = inflow(38_mm, 519_mm, kSharpEdge).value() - 30;
  EXPECT_NEAR(t->value(), 1 / net, 1e-3 / net);
}

TEST(Settling, PumpsThatKeepUp) {
  EXPECT_FALSE(time_to_settle(leak(19, 300), 100_mm, LitrePerMinute(80)));
  EXPECT_FALSE(time_to_settle(leak(19, -10), 100_mm, LitrePerMinute(0)));
  EXPECT_TRUE(time_to_settle(leak(38, 300), 100_mm, LitrePerMinute(80)));
}

RC_GTEST_PROP(Settling, DeeperAndWiderNeverTakesLonger, ()) {
  const double bore = *rc::gen::inRange(10, 80), depth = *rc::gen::inRange(50, 1500);
  const auto t = time_to_settle(leak(bore, depth), 150_mm, LitrePerMinute(0));
  const auto deeper =
      time_to_settle(leak(bore, depth + *rc::gen::inRange(0, 500)), 150_mm, LitrePerMinute(0));
  const auto wider = time_to_settle(leak(bore + *rc::gen::inRange(0, 50), depth), 150_mm, LitrePerMinute(0));
  RC_ASSERT(*deeper <= *t * (1 + 1e-6));
  RC_ASSERT(*wider <= *t * (1 + 1e-6));
}
