#include "hydraulics/pipeline.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

using namespace spile;
using namespace spile::hydraulics;
using namespace spile::units;
using namespace spile::units::literals;
using testing::HasSubstr;

namespace {

constexpr double kFoot = 304.8;
constexpr double kUsGallon = 3.785411784;

Stretch pipe(double bore_mm, double length_mm, double losses = 0, double rough_mm = 0.01) {
  Stretch s;
  s.name = "The pipe";
  s.bore = Millimetre(bore_mm);
  s.length = Millimetre(length_mm);
  s.losses = losses;
  s.rough = s.rough_least = s.rough_most = Millimetre(rough_mm);
  return s;
}

Pipeline line(std::vector<Stretch> stretches, double viscosity = 1e-6) {
  Pipeline p;
  p.stretches = std::move(stretches);
  p.viscosity = viscosity;
  return p;
}

double flow(const Pipeline& p, Millimetre fall, const PumpCurve* pump = nullptr) {
  const auto solved = solve(p, fall, pump);
  EXPECT_TRUE(solved) << (solved ? "" : solved.error().what);
  return solved ? solved->flow.value() : -1;
}

LitrePerMinute from_m3_s(double q) {
  return LitrePerMinute(q * 60'000);
}

Pipeline any_line() {
  std::vector<Stretch> parts;
  const int count = *rc::gen::inRange(1, 7);
  for (int i = 0; i < count; ++i) {
    parts.push_back(pipe(*rc::gen::inRange(8, 80), *rc::gen::inRange(0, 8000),
                         *rc::gen::inRange(0, 400) / 100.0, *rc::gen::inRange(0, 300) / 100.0));
  }
  return line(std::move(parts));
}

}  // namespace

// White, Fluid Mechanics, example 6.7: oil (1e-5 m2/s), 0.2 m3/s through 500 m of 200 mm cast iron, e 0.26
// mm; the text reads f 0.0225 off the chart and gets a head loss of 117 m.
TEST(TextbookFlow, HeadLostInCastIron) {
  const auto at = at_flow(line({pipe(200, 500'000, 0, 0.26)}, 1e-5), from_m3_s(0.2));
  EXPECT_NEAR(at.losses[0].velocity, 6.4, 0.04);
  EXPECT_NEAR(at.losses[0].reynolds, 128'000, 1000);
  EXPECT_NEAR(at.losses[0].friction.value(), 117'000, 0.01 * 117'000);
}

// White, example 6.6 (after Moody 1944): 200 ft of 6 in asphalted cast iron, e 0.0004 ft, water at 6
// ft/s: 4.5 ft. Inputs from memory.
TEST(TextbookFlow, HeadLostInAsphaltedPipe) {
  const double area = std::numbers::pi / 4 * 0.1524 * 0.1524;
  const auto at =
      at_flow(line({pipe(152.4, 200 * kFoot, 0, 0.0004 * kFoot)}, 1.0e-6), from_m3_s(6 * 0.3048 * area));
  EXPECT_NEAR(at.losses[0].friction.value(), 4.5 * kFoot, 0.03 * 4.5 * kFoot);
}

// From memory: White, example 6.9: oil (2e-5 m2/s) in 100 m of 300 mm pipe, e/d 0.0002, loses 8 m: 4.84 m/s,
// 0.342 m3/s. Entrance and exit are not part of it.
TEST(TextbookFlow, FlowFromAHeadLoss) {
  const auto p = line({pipe(300, 100'000, 0, 0.06)}, 2e-5);
  const auto at = at_flow(p, from_m3_s(0.342));
  EXPECT_NEAR(at.losses[0].velocity, 4.84, 0.01);
  EXPECT_NEAR(at.losses[0].friction.value(), 8000, 0.01 * 8000);
}

// From memory: White, example 6.16: 0.2 ft3/s through 400 ft of 2 in pipe, e/d 0.001, viscosity 1.1e-5 ft2/s,
// minor losses 12.2 in all (entrance 0.5 and exit 1 among them): friction and minor losses need 84 ft, with
// 100 ft of lift 184 ft.
TEST(TextbookFlow, MinorLossesBetweenReservoirs) {
  auto p = line({pipe(50.8, 400 * kFoot, 12.2 - 0.5 - 1, 0.0508)}, 1.1e-5 * 0.3048 * 0.3048);
  const auto needed = head_needed(p, LitrePerMinute(0.2 * 28.316846592 * 60));
  EXPECT_NEAR(needed.value() / kFoot, 84, 0.015 * 84);
}

// From memory: Cengel and Cimbala, Fluid Mechanics, chapter 14: a pump of 24.4 - 0.0678 Q^2 (m, L/min) lifts
// water 7.85 m through 176.5 m of 20.3 mm pipe, e 0.25 mm, losses 0.5 + 17.5 + 5 x 0.92 + 1.05: 11.6 L/min.
TEST(TextbookFlow, PumpMeetsSystem) {
  std::vector<PumpPoint> points;
  for (double q = 0; q < 18.9; q += 0.1)
    points.push_back({Millimetre(1000 * (24.4 - 0.0678 * q * q)), LitrePerMinute(q)});
  const auto pump = PumpCurve::through(points).value();
  const auto p = line({pipe(20.3, 176'500, 17.5 + 5 * 0.92 + 0.05, 0.25)}, 1.002e-3 / 998);
  EXPECT_NEAR(flow(p, Millimetre(-7850), &pump), 11.6, 0.06);
}

// From memory: White, section 11.5: a pump of 490 - 0.26 Q^2 (ft, 1000 US gpm) lifts 120 ft through 1500 ft
// of 16 in pipe, f 0.030 and no minor losses: 15.2 thousand gpm. Exit and entrance are taken off by the lift
// here.
TEST(TextbookFlow, PumpDutyOfALargePump) {
  std::vector<PumpPoint> points;
  const double per_kgpm = 1000 * kUsGallon;
  for (double q = 0; q < 43; q += 0.05)
    points.push_back({Millimetre(kFoot * (490 - 0.26 * q * q)), LitrePerMinute(q * per_kgpm)});
  const auto pump = PumpCurve::through(points).value();
  // e/D 0.005: f is 0.0304 when fully rough; 0.0049 makes it 0.0302, 0.00474 the 0.030 of the example.
  auto p = line({pipe(406.4, 1500 * kFoot, 0, 0.00474 * 406.4)});
  p.entrance = 0;
  const auto q = LitrePerMinute(15.2 * per_kgpm);
  EXPECT_NEAR(at_flow(p, q).losses[0].factor, 0.030, 0.0003);
  const Millimetre lift(120 * kFoot);
  EXPECT_NEAR(flow(p, at_flow(p, q).exit - lift, &pump) / per_kgpm, 15.2, 0.1);
}

// Worked by a second program: 2 m of hose, 0.30 m of fall, losses 0.5 + 0.9 + 0.05 and exit.
TEST(Drain, OfSeveralBores) {
  const std::pair<double, double> cases[] = {{19, 17.94}, {25, 33.95}, {32, 59.37}, {38, 86.95}, {50, 158.1}};
  for (const auto& [bore, expected] : cases)
    EXPECT_NEAR(flow(line({pipe(bore, 2000, 0.95)}), 300_mm), expected, 0.003 * expected) << bore;
}

// The same with a narrow place in the middle: both tail bores cost 11 %, one reducer to 25 mm 28 %.
TEST(Drain, NarrowPlaces) {
  const double whole = flow(line({pipe(38, 2000, 0.95)}), 300_mm);
  const double reducer = flow(line({pipe(38, 1000, 0.45), pipe(25, 0), pipe(38, 1000, 0.5)}), 300_mm);
  EXPECT_NEAR(reducer, 62.78, 0.005 * 62.78);
  EXPECT_NEAR(1 - reducer / whole, 0.28, 0.005);
  const double tails =
      flow(line({pipe(38, 500, 0), pipe(32, 0), pipe(38, 1000, 0.95), pipe(32, 0), pipe(38, 500)}), 300_mm);
  EXPECT_NEAR(tails, 77.42, 0.005 * 77.42);
}

// Worked by a second program: 1000 US gallons an hour in 28.6 mm, 3 m of smooth hose.
TEST(Pumped, FrictionOfABilgeHose) {
  const auto at = at_flow(line({pipe(28.6, 3000)}), LitrePerMinute(1000 * kUsGallon / 60));
  EXPECT_NEAR(at.losses[0].velocity, 1.637, 0.002);
  EXPECT_NEAR(at.losses[0].friction.value(), 320, 3);
}

// UFC 4-213-10, equations 4 and 5, for a hole in the bottom: t = 2 A sqrt(h)/(Cd a sqrt(2 g)), Cd from the
// losses.
TEST(Basin, EmptiesAsThroughAHole) {
  const auto hole = line({pipe(25, 0, 0)});
  const double area = 0.4 * 0.3, depth = 0.15, cd = 1 / std::sqrt(1.5),
               a = std::numbers::pi / 4 * 0.025 * 0.025;
  const double expected = 2 * area * std::sqrt(depth) / (cd * a * std::sqrt(2 * 9.80665)) / 60;
  const auto minutes = time_to_empty(hole, Litre(area * depth * 1000), 150_mm, 0_mm);
  EXPECT_NEAR(minutes->value(), expected, 1e-4 * expected);
}

TEST(Solve, SaysWhyNothingFlows) {
  const auto p = line({pipe(25, 2000)});
  const auto pump = PumpCurve::parse("3 m 0; 0 m 60 L/min").value();
  EXPECT_THAT(solve(p, -400_mm).error().what, HasSubstr("rise by 400 mm"));
  EXPECT_THAT(solve(p, 0_mm).error().what, HasSubstr("no fall"));
  EXPECT_THAT(solve(p, -3500_mm, &pump).error().what, HasSubstr("3500 mm is more than the 3000 mm"));
  EXPECT_EQ(solve(p, -3500_mm, &pump).error().code, ErrorCode::Refused);
}

TEST(Solve, NamesThePartThatCannotBe) {
  auto bad = line({pipe(25, 2000), pipe(0, 100)});
  bad.stretches[1].name = "Elbow 2";
  EXPECT_THAT(solve(bad, 300_mm).error().what, HasSubstr("Elbow 2 has a bore of 0"));
  EXPECT_THAT(solve(line({pipe(25, -2000)}), 300_mm).error().what, HasSubstr("length of -2000 mm"));
  EXPECT_THAT(solve(line({}), 300_mm).error().what, HasSubstr("no part"));
  EXPECT_FALSE(solve(line({pipe(25, 100)}), Millimetre(std::nan(""))));
}

RC_GTEST_PROP(Solve, EnergyBalanceCloses, ()) {
  const auto p = any_line();
  const Millimetre fall(*rc::gen::inRange(1, 3000));
  const auto solved = solve(p, fall);
  RC_ASSERT(solved.has_value());
  RC_ASSERT(std::abs(solved->lost() / fall - 1) < 1e-9);
}

RC_GTEST_PROP(Solve, EnergyBalanceClosesWithAPump, ()) {
  const auto p = any_line();
  const auto pump = PumpCurve::parse("4 m 0; 3 m 40 L/min; 1 m 90; 0 m 110").value();
  const Millimetre fall(*rc::gen::inRange(-3900, 1000));
  const auto solved = solve(p, fall, &pump);
  RC_ASSERT(solved.has_value());
  const double scale = std::max(std::abs(fall.value()), 1.0);
  RC_ASSERT(std::abs((solved->lost() - fall - solved->pump_head).value()) <
            1e-9 * scale + 1e-9 * solved->lost().value());
}

RC_GTEST_PROP(Solve, LongerNeverFlowsMore, ()) {
  auto p = any_line();
  const Millimetre fall(*rc::gen::inRange(1, 3000));
  const double before = solve(p, fall)->flow.value();
  const auto i = *rc::gen::inRange<std::size_t>(0, p.stretches.size());
  p.stretches[i].length = p.stretches[i].length + Millimetre(*rc::gen::inRange(0, 5000));
  RC_ASSERT(solve(p, fall)->flow.value() <= before * (1 + 1e-9));
}

// The whole run a size up. One part alone may not: a wide place in a narrow run costs two changes of bore.
RC_GTEST_PROP(Solve, WiderNeverFlowsLess, ()) {
  auto p = any_line();
  const Millimetre fall(*rc::gen::inRange(1, 3000));
  const double before = solve(p, fall)->flow.value();
  const double wider = 1 + *rc::gen::inRange(0, 100) / 100.0;
  for (auto& s : p.stretches) s.bore = s.bore * wider;
  RC_ASSERT(solve(p, fall)->flow.value() >= before * (1 - 1e-9));
}

RC_GTEST_PROP(Solve, MoreFallNeverFlowsLess, ()) {
  const auto p = any_line();
  const Millimetre fall(*rc::gen::inRange(1, 3000)), more = fall + Millimetre(*rc::gen::inRange(0, 2000));
  RC_ASSERT(solve(p, more)->flow.value() >= solve(p, fall)->flow.value() * (1 - 1e-9));
}

// Arithmetic by hand: with friction alone left out, Q goes with the root of the fall, so 10 % of fall is near
// 5 % of Q.
TEST(Range, OfOneUncertainFall) {
  const auto p = line({pipe(25, 0)});
  const auto solved = solve(p, 400_mm).value();
  const auto range = range_of(p, solved, nullptr, {40_mm, 0});
  EXPECT_NEAR(range.low / solved.flow, std::sqrt(0.9), 1e-6);
  EXPECT_NEAR(range.high / solved.flow, std::sqrt(1.1), 1e-6);
  ASSERT_EQ(range.budget.size(), 1u);
}

// Arithmetic by hand: Q goes with the square of the bore there, 1 mm of 25 is 8 %; two such by root sum of
// squares.
TEST(Range, AddsByRootSumOfSquares) {
  auto p = line({pipe(25, 0)});
  p.stretches[0].bore_u95 = 1_mm;
  const auto solved = solve(p, 400_mm).value();
  const auto range = range_of(p, solved, nullptr, {40_mm, 0});
  const double bore = std::pow(26 / 25.0, 2) - 1, fall = std::sqrt(1.1) - 1;
  EXPECT_NEAR(range.high / solved.flow - 1, std::hypot(bore, fall), 1e-6);
  ASSERT_EQ(range.budget.size(), 2u);
  EXPECT_THAT(range.budget[0].term, HasSubstr("Bore of The pipe"));
}

RC_GTEST_PROP(Range, HoldsTheAnswer, ()) {
  auto p = any_line();
  for (auto& s : p.stretches) {
    s.bore_u95 = s.bore * (*rc::gen::inRange(0, 20) / 100.0);
    s.length_u95 = Millimetre(*rc::gen::inRange(0, 500));
    s.losses_u95 = s.losses * 0.3;
    s.rough_most = s.rough * 2;
  }
  const Millimetre fall(*rc::gen::inRange(1, 3000));
  const auto solved = solve(p, fall).value();
  const auto range = range_of(p, solved, nullptr, {Millimetre(*rc::gen::inRange(0, 100)), 0});
  RC_ASSERT(range.low <= solved.flow && solved.flow <= range.high);
  RC_ASSERT(range.low >= LitrePerMinute(0));
}
