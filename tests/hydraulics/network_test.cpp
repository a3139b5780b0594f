#include "hydraulics/network.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>

using namespace spile;
using namespace spile::hydraulics;
using namespace spile::units;
using testing::HasSubstr;

namespace {

Stretch pipe(double bore_mm, double length_mm, double losses = 0, double rough_mm = 0.01) {
  Stretch s;
  s.name = "The pipe";
  s.bore = Millimetre(bore_mm);
  s.length = Millimetre(length_mm);
  s.losses = losses;
  s.rough = s.rough_least = s.rough_most = Millimetre(rough_mm);
  return s;
}

Leg leg(std::vector<Stretch> stretches, std::optional<std::size_t> into, std::optional<double> head = {}) {
  Leg l;
  l.pipe.stretches = std::move(stretches);
  l.pipe.viscosity = 1e-6;
  l.into = into;
  if (head) l.source = Source{Millimetre(*head), {}};
  return l;
}

Leg pumped(std::vector<Stretch> stretches, std::optional<std::size_t> into, double head, const char* curve) {
  Leg l = leg(std::move(stretches), into, head);
  l.pump = PumpCurve::parse(curve).value();
  return l;
}

std::vector<LegFlow> solved(const std::vector<Leg>& legs) {
  const auto answer = solve(legs);
  EXPECT_TRUE(answer) << (answer ? "" : answer.error().what);
  return answer ? *answer : std::vector<LegFlow>(legs.size());
}

std::vector<Stretch> any_pipe() {
  std::vector<Stretch> parts;
  const int count = *rc::gen::inRange(1, 4);
  for (int i = 0; i < count; ++i)
    parts.push_back(pipe(*rc::gen::inRange(8, 80), *rc::gen::inRange(0, 8000),
                         *rc::gen::inRange(0, 400) / 100.0, *rc::gen::inRange(0, 300) / 100.0));
  return parts;
}

// Any tree: each leg flows into an earlier one; those that nothing flows into start from a fixture or a pump.
std::vector<Leg> any_tree() {
  const auto count = *rc::gen::inRange<std::size_t>(2, 9);
  std::vector<Leg> legs;
  std::vector<bool> fed(count);
  for (std::size_t i = 0; i < count; ++i) {
    legs.push_back(leg(any_pipe(), {}));
    if (i == 0) continue;
    legs[i].into = *rc::gen::inRange<std::size_t>(0, i);
    fed[*legs[i].into] = true;
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (fed[i]) continue;
    legs[i].source = Source{Millimetre(*rc::gen::inRange(-1500, 3000)), {}};
    const int kind = *rc::gen::inRange(0, 4);
    if (kind == 0) legs[i].pump = PumpCurve::parse("4 m 0; 3 m 40 L/min; 1 m 90; 0 m 110").value();
    if (kind == 1) legs[i].one_way = true;
    if (kind == 2) legs[i].source->given = LitrePerMinute(*rc::gen::inRange(0, 60));
  }
  return legs;
}

}  // namespace

// From memory: White, Fluid Mechanics, example 6.19, three reservoirs at 20, 100 and 40 m (100 m of 80 mm, e
// 0.24 mm; 150 m of 60 mm, e 0.12 mm; 80 m of 40 mm, e 0.2 mm; 1.02e-6 m2/s, no minor losses): 52.4 out
// and 47.1 and 6.0 m3/h in, read off the chart. A second program gives 52.84, 47.00, 5.84 and 34.54 m at the
// junction.
TEST(Network, ThreeReservoirs) {
  std::vector<Leg> legs = {leg({pipe(80, 100'000, 0, 0.24)}, {}),
                           leg({pipe(60, 150'000, 0, 0.12)}, 0, 80'000),
                           leg({pipe(40, 80'000, 0, 0.20)}, 0, 20'000)};
  for (auto& l : legs) {
    l.pipe.viscosity = 1.02e-6;
    l.pipe.entrance = 0;
  }
  // The velocity head that leaves is not part of the example: take it off the first reservoir's height.
  auto flows = solved(legs);
  for (int i = 0; i < 30; ++i) {
    const double exit = at_flow(legs[0].pipe, flows[0].flow).exit.value();
    legs[1].source->head = Millimetre(80'000 + exit);
    legs[2].source->head = Millimetre(20'000 + exit);
    flows = solved(legs);
  }
  const double per_hour = 60.0 / 1000;
  EXPECT_NEAR(flows[0].flow.value() * per_hour, 52.84, 0.03);
  EXPECT_NEAR(flows[1].flow.value() * per_hour, 47.00, 0.03);
  EXPECT_NEAR(flows[2].flow.value() * per_hour, 5.84, 0.03);
  EXPECT_NEAR(flows[0].flow.value() * per_hour, 52.4, 0.02 * 52.4);
  EXPECT_NEAR(flows[1].flow.value() * per_hour, 47.1, 0.02 * 47.1);
  EXPECT_NEAR(flows[2].flow.value() * per_hour, 6.0, 0.05 * 6.0);
}

// One run through a tee that brings nothing else is that run.
TEST(Network, OneRunIsThatRun) {
  const auto flows = solved({leg({pipe(38, 1200, 0.3)}, {}, 400)});
  Pipeline alone;
  alone.viscosity = 1e-6;
  alone.stretches = {pipe(38, 1200, 0.3)};
  EXPECT_NEAR(flows[0].flow.value(), solve(alone, Millimetre(400))->flow.value(), 1e-6);
  auto shut = pumped({pipe(19, 1000)}, 0, -9000, "1 m 0; 0 m 20");
  const auto split = solved({leg({pipe(38, 700)}, {}), leg({pipe(38, 500, 0.3)}, 0, 400), shut});
  alone.stretches = {pipe(38, 500, 0.3), pipe(38, 700)};
  EXPECT_NEAR(split[0].flow.value(), solve(alone, Millimetre(400))->flow.value(), 1e-3);
  EXPECT_TRUE(split[2].shut);
  EXPECT_EQ(split[2].flow.value(), 0);
}

// Arithmetic by hand: two bowls alike bring alike, and together what one bowl brings through a common hose
// whose losses are four times its own at half the flow. Without friction: h = (0.5 + 0.9) v^2/2g + 4 (0.5 +
// 1) v^2/2g.
TEST(Network, TwoBowlsAlikeShare) {
  const auto flows =
      solved({leg({pipe(30, 0, 0.5)}, {}), leg({pipe(30, 0, 0.9)}, 0, 300), leg({pipe(30, 0, 0.9)}, 0, 300)});
  const double v = std::sqrt(0.3 * 2 * 9.80665 / (1.4 + 4 * 1.5));
  const double lpm = v * std::acos(-1.0) / 4 * 0.03 * 0.03 * 60'000;
  EXPECT_NEAR(flows[1].flow.value(), lpm, 1e-6 * lpm);
  EXPECT_NEAR(flows[2].flow.value(), lpm, 1e-6 * lpm);
  EXPECT_NEAR(flows[0].flow.value(), 2 * lpm, 1e-6 * lpm);
}

// A pump teed into a sink's hose that is too narrow behind the tee pushes its water up into the bowl.
TEST(Network, APumpPushesIntoTheBowl) {
  std::vector<Leg> legs = {leg({pipe(13, 2000)}, {}), leg({pipe(38, 500)}, 0, 350),
                           pumped({pipe(19, 1500)}, 0, -300, "0 m 69 L/min; 3.7 m 0")};
  auto flows = solved(legs);
  EXPECT_LT(flows[1].flow.value(), -5);
  EXPECT_GT(flows[1].head_out, Millimetre(350));
  legs[1].one_way = true;
  flows = solved(legs);
  EXPECT_TRUE(flows[1].shut);
  EXPECT_EQ(flows[1].flow.value(), 0);
  EXPECT_NEAR(flows[0].flow.value(), flows[2].flow.value(), 1e-3);
}

TEST(Network, SaysWhatCannotBe) {
  EXPECT_THAT(solve({leg({pipe(25, 100)}, 1, 300), leg({pipe(25, 100)}, 0)}).error().what,
              HasSubstr("in a loop"));
  EXPECT_THAT(solve({leg({pipe(25, 100)}, 0)}).error().what, HasSubstr("in a loop"));
  EXPECT_THAT(solve({leg({pipe(25, 100)}, {}, 300), leg({pipe(25, 100)}, {}, 300)}).error().what,
              HasSubstr("one opening"));
  EXPECT_THAT(solve({leg({pipe(25, 100)}, {})}).error().what, HasSubstr("nothing that feeds it"));
  EXPECT_THAT(solve({leg({pipe(25, 100)}, 7, 300)}).error().what, HasSubstr("not there"));
  EXPECT_THAT(solve({leg({pipe(25, -100)}, {}, 300)}).error().what, HasSubstr("length of -100 mm"));
}

// What comes into a tee goes out of it, and in every leg what drives is what is lost.
RC_GTEST_PROP(Network, BalancesInEveryTeeAndLeg, ()) {
  const auto legs = any_tree();
  const auto answer = solve(legs);
  RC_ASSERT(answer.has_value());
  double scale = 1;
  for (const auto& l : legs)
    if (l.source) scale = std::max({scale, std::abs(l.source->head.value()), l.pump ? 4000.0 : 0});
  std::vector<double> in(legs.size());
  double biggest = 1, tallest = 0;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    const LegFlow& f = (*answer)[i];
    RC_ASSERT(std::isfinite(f.flow.value()));
    biggest = std::max(biggest, std::abs(f.flow.value()));
    tallest = std::max(tallest, std::abs(f.head_in.value()));
    if (legs[i].into) in[*legs[i].into] += f.flow.value();
    const double open = (f.head_in + f.pump_head - f.lost - f.head_out).value();
    RC_ASSERT(std::abs(open) < 1e-9 * scale + 1e-12 * std::abs(f.lost.value()));
    if (legs[i].pump || legs[i].one_way) RC_ASSERT(f.flow.value() >= 0);
    if (legs[i].into) RC_ASSERT(f.head_out == (*answer)[*legs[i].into].head_in);
  }
  // A shut valve lets through a millionth of a litre a minute for each 100 m that stand against it.
  for (std::size_t i = 0; i < legs.size(); ++i)
    if (!legs[i].source)
      RC_ASSERT(std::abs(in[i] - (*answer)[i].flow.value()) < 1e-9 * biggest + 1e-10 * tallest);
}

// More head at one source never brings less from it, and never more from another.
RC_GTEST_PROP(Network, ASourceThatRisesPushesTheOthersBack, ()) {
  auto legs = any_tree();
  std::vector<std::size_t> sources;
  for (std::size_t i = 0; i < legs.size(); ++i)
    if (legs[i].source && !legs[i].source->given) sources.push_back(i);
  RC_PRE(!sources.empty());
  const auto one = sources[*rc::gen::inRange<std::size_t>(0, sources.size())];
  const auto before = solve(legs).value();
  legs[one].source->head = legs[one].source->head + Millimetre(*rc::gen::inRange(1, 1000));
  const auto after = solve(legs).value();
  const double little = 1e-4;  // what a shut valve lets through
  RC_ASSERT(after[one].flow.value() >= before[one].flow.value() - little);
  for (const auto other : sources)
    if (other != one) RC_ASSERT(after[other].flow.value() <= before[other].flow.value() + little);
}

// Arithmetic by hand: without friction all flows of one source go with the root of its head, to first order
// half of 10 % for 10 %.
TEST(Network, RangeFromTheHeights) {
  const std::vector<Leg> legs = {leg({pipe(30, 0, 0.5)}, {}), leg({pipe(30, 0, 0.9)}, 0, 300)};
  const auto flows = solved(legs);
  const auto range = range_of(legs, flows, 0, {Millimetre(30), 0});
  EXPECT_NEAR(range.low / flows[0].flow, 0.95, 1e-4);
  EXPECT_NEAR(range.high / flows[0].flow, 1.05, 1e-4);
}

TEST(Network, RangeIsThatOfTheRunWhereItIsAlone) {
  auto s = pipe(25, 2000, 0.5);
  s.bore_u95 = Millimetre(0.2);
  s.losses_u95 = 0.1;
  const std::vector<Leg> legs = {leg({s}, {}, 400)};
  const auto flows = solved(legs);
  Pipeline alone = legs[0].pipe;
  const auto whole = solve(alone, Millimetre(400)).value();
  const auto expected = range_of(alone, whole, nullptr, {Millimetre(20), 0});
  const auto range = range_of(legs, flows, 0, {Millimetre(20), 0});
  EXPECT_NEAR(range.low / expected.low, 1, 0.01);
  EXPECT_NEAR(range.high / expected.high, 1, 0.01);
}
