#include "hydraulics/flooding.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

using namespace spile::hydraulics;
using namespace spile::units;
using namespace spile::units::literals;

namespace {

constexpr double kUsGallon = 3.785411784;

Millimetre feet(double ft) {
  return inches(12 * ft);
}

double gpm(double bore_in, double head_ft, double coefficient = kIdeal) {
  return flooding_rate(inches(bore_in), feet(head_ft), coefficient).value() / kUsGallon;
}

}  // namespace

// Flooding table as published for yacht clubs (US gallons a minute, coefficient 1); its first and third rows
// run up to 1.3 % low.
TEST(FloodingRate, PublishedTable) {
  EXPECT_NEAR(gpm(1, 2), 27.8, 0.01 * 27.8);
  EXPECT_NEAR(gpm(2, 4), 157.1, 0.005 * 157.1);
  EXPECT_NEAR(gpm(3, 2), 250.0, 0.005 * 250.0);
  EXPECT_NEAR(gpm(1, 1), 19.4, 0.013 * 19.4);
  EXPECT_NEAR(gpm(2, 3), 135.7, 0.013 * 135.7);
  EXPECT_NEAR(gpm(4, 4), 628.4, 0.013 * 628.4);
}

// As quoted in the trade press: a 2 in hole 1 ft down lets in 47 gpm, a 1 in hole 3 ft down 34 gpm; the first
// counts a coefficient of 0.6, the second none.
TEST(FloodingRate, PressFigures) {
  EXPECT_NEAR(gpm(2, 1, 0.6), 47, 0.01 * 47);
  EXPECT_NEAR(gpm(1, 3), 34, 0.02 * 34);
}

// A formula in circulation takes the bore to the first power and gives 69 gpm here.
TEST(FloodingRate, GrowsWithTheSquareOfTheBore) {
  EXPECT_NEAR(gpm(2, 3), 136.1, 0.005 * 136.1);
  EXPECT_NEAR(gpm(2, 3) / gpm(1, 3), 4, 1e-12);
}

// Naval damage control rule (from memory: training text): 3600 A sqrt(H), A in square feet; exactly 3600.4
// from g.
TEST(FloodingRate, CoefficientOfTheNavalRule) {
  const double area_ft2 = std::acos(-1.0) / 4 / 144;
  EXPECT_NEAR(gpm(1, 1) / area_ft2, 3600.4, 0.1);
}

// Worked by a second program from Q = Cd A sqrt(2 g h).
TEST(FloodingRate, MetricValues) {
  EXPECT_NEAR(flooding_rate(38_mm, 500_mm, kSharpEdge).value(), 130.0, 0.26);
  EXPECT_NEAR(flooding_rate(25_mm, 1000_mm, kSharpEdge).value(), 79.6, 0.16);
  EXPECT_NEAR(flooding_rate(38_mm, 500_mm, kShortTube).value(), 174.7, 0.35);
  EXPECT_EQ(flooding_rate(38_mm, 0_mm, kSharpEdge).value(), 0);
  EXPECT_EQ(flooding_rate(38_mm, -100_mm, kSharpEdge).value(), 0);
}

// Hydraulics handbook, small orifices: 0.613 for 1 in under 1 ft; 0.605 for 2 in under 4 ft.
TEST(Coefficient, OfSmallOrifices) {
  EXPECT_NEAR(small_orifice_coefficient(inches(1), feet(1)), 0.6136, 1e-4);
  EXPECT_NEAR(small_orifice_coefficient(inches(2), feet(4)), 0.6050, 1e-4);
}

// Arithmetic by hand: 1/sqrt(1.5) and 1/sqrt(2.45).
TEST(Coefficient, FromLosses) {
  EXPECT_NEAR(coefficient_from_losses(0.5), 0.8165, 1e-4);
  EXPECT_NEAR(coefficient_from_losses(1.45), 0.6389, 1e-4);
  EXPECT_EQ(coefficient_from_losses(0), 1);
}

TEST(TimeToFill, ConstantHead) {
  EXPECT_NEAR(time_to_fill(Litre(3000), LitrePerMinute(130.0))->value(), 23.08, 0.05);
  EXPECT_NEAR(time_to_fill(Litre(3000), LitrePerMinute(130), LitrePerMinute(30))->value(), 30, 1e-9);
  EXPECT_FALSE(time_to_fill(Litre(3000), LitrePerMinute(130), LitrePerMinute(130)));
  EXPECT_FALSE(time_to_fill(Litre(3000), LitrePerMinute(0)));
}

// UFC 4-213-10, equations 4 and 5 (filling of a dry dock by gravity); worked by a second program.
TEST(TimeAsHeadFalls, ToTheOutsideLevelAndOnTheWay) {
  const SquareMillimetre square_metre(1e6);
  EXPECT_NEAR(time_as_head_falls(square_metre * 6, 38_mm, 500_mm, 0_mm, kSharpEdge).value(), 46.16, 0.09);
  EXPECT_NEAR(time_as_head_falls(square_metre * 10, 50_mm, 1000_mm, 250_mm, kSharpEdge).value() * 60, 1885,
              4);
  EXPECT_NEAR(time_as_head_falls(square_metre * 10, 50_mm, 1000_mm, 0_mm, kSharpEdge).value() * 60, 3770, 8);
  EXPECT_NEAR(time_as_head_falls(square_metre * 5, 38_mm, 400_mm, 200_mm, kSharpEdge).value(), 10.08, 0.05);
}

// TM 55-1915-200-SDC, chapter 8: a hole of 5 in, 9 ft down, pushes with 78.5 lbf.
TEST(PlugForce, PublishedExample) {
  EXPECT_NEAR(plug_force(inches(5), feet(9)).value() / 4.4482216152605, 78.5, 0.3);
}

// From memory: hydraulics handbook, circular orifice in a wall under low head:
// Q/Q0 = 1 - (1/32)(r/h)^2 - (5/1024)(r/h)^4 - (105/65536)(r/h)^6; 0.960 where the water just covers it.
TEST(Inflow, LowHeadFactorOfACircularHole) {
  const auto factor = [](double r_over_h) {
    const Millimetre bore(40), head(20 / r_over_h);
    return inflow(bore, head + bore / 2, kSharpEdge) / flooding_rate(bore, head, kSharpEdge);
  };
  const auto series = [](double x) {
    return 1 - x * x / 32 - 5 * std::pow(x, 4) / 1024 - 105 * std::pow(x, 6) / 65536;
  };
  EXPECT_NEAR(factor(0.1), series(0.1), 1e-8);
  EXPECT_NEAR(factor(0.25), series(0.25), 1e-6);
  EXPECT_NEAR(factor(0.5), series(0.5), 1e-5);
  EXPECT_NEAR(factor(1.0), 0.960, 0.001);
}

TEST(Inflow, StartsFromNothingWhereTheHoleTouchesTheWater) {
  EXPECT_EQ(inflow(38_mm, 0_mm, kSharpEdge).value(), 0);
  EXPECT_EQ(inflow(38_mm, -1_mm, kSharpEdge).value(), 0);
  // Arithmetic by hand: a wet segment of 8.1 mm2 at the 0.14 m/s of 1 mm would pass 0.042 L/min.
  EXPECT_GT(inflow(38_mm, 1_mm, kSharpEdge).value(), 0.01);
  EXPECT_LT(inflow(38_mm, 1_mm, kSharpEdge).value(), 0.042);
}

// A drain 100 mm above the water, 1.2 m off the centreline: dry at rest; at 30 degrees 693 mm of rise put its
// lowest point 593 mm under.
TEST(Inflow, ADrainThatOnlyFloodsWhenHeeled) {
  const auto drain = inflow_at_rest_and_heeled(38_mm, 100_mm, 0_mm, 1200_mm, 30_deg, kShortTube);
  EXPECT_EQ(drain.at_rest.value(), 0);
  EXPECT_NEAR(drain.depth_heeled.value(), 592.8, 0.1);
  EXPECT_NEAR(drain.heeled.value(), flooding_rate(38_mm, 573.8_mm, kShortTube).value(), 0.1);
  const auto laden = inflow_at_rest_and_heeled(38_mm, 100_mm, 150_mm, 1200_mm, 30_deg, kShortTube);
  EXPECT_NEAR(laden.depth_at_rest.value(), 50, 1e-9);
  EXPECT_GT(laden.at_rest.value(), 0);
}

RC_GTEST_PROP(Inflow, DeeperAndWiderIsNeverLess, ()) {
  const Millimetre bore(*rc::gen::inRange(5, 150));
  const Millimetre depth(*rc::gen::inRange(-50, 2000));
  const Millimetre wider = bore + Millimetre(*rc::gen::inRange(0, 50));
  const Millimetre deeper = depth + Millimetre(*rc::gen::inRange(0, 500));
  const double q = inflow(bore, depth, kSharpEdge).value();
  RC_ASSERT(q >= 0);
  RC_ASSERT(inflow(bore, deeper, kSharpEdge).value() >= q * (1 - 1e-9));
  RC_ASSERT(inflow(wider, depth, kSharpEdge).value() >= q * (1 - 1e-9));
}

// Never more than if the whole hole lay as deep as its lowest point.
RC_GTEST_PROP(Inflow, StaysBelowTheCautiousBound, ()) {
  const Millimetre bore(*rc::gen::inRange(5, 150));
  const Millimetre depth(*rc::gen::inRange(1, 2000));
  RC_ASSERT(inflow(bore, depth, kSharpEdge).value() <= flooding_rate(bore, depth, kSharpEdge).value());
}
