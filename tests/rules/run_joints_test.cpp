#include "rules/run_joints.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include "stocked.hpp"

using namespace spile;
using namespace spile::rules;
using testing::HasSubstr;

namespace {

PartEnd end(EndForm form, const char* size, double mm) {
  return {form, size, mm};
}
const PartEnd kHose38 = end(EndForm::Hose, "38 mm", 38), kTail38 = end(EndForm::Tail, "38 mm", 38);
const PartEnd kTail40 = end(EndForm::Tail, "40 mm", 40), kTail32 = end(EndForm::Tail, "32 mm", 32);

RunMatch judged(const PlacedRun& run, const char* service = nullptr) {
  return judge_joints(run, service == nullptr ? nullptr : stocked().service(service), true);
}

std::string keys(const Chain& chain) {
  std::string text;
  for (const auto* part : chain.parts) text += (text.empty() ? "" : " ") + part->choice.key;
  return text;
}

}  // namespace

// Common practice: more than 1 mm between hose and tail is a finding; 38 mm hose on a 40 mm tail is
// stretched.
TEST(Fit, HoseAndTail) {
  EXPECT_EQ(fit(kHose38, kTail38), Fit::Good);
  EXPECT_EQ(fit(kTail38, kHose38), Fit::Good);
  EXPECT_EQ(fit(kHose38, kTail40), Fit::Stretched);
  EXPECT_EQ(fit(kHose38, kTail32), Fit::Size);
  EXPECT_EQ(fit(kHose38, kHose38), Fit::Form);
  EXPECT_EQ(fit(kTail38, kTail38), Fit::Form);
}

// ABYC H-27, as quoted in the trade press: straight with straight, taper with taper. From memory: ASME
// B1.20.1 and ISO 228-1: 60 against 55 degrees.
TEST(Fit, Threads) {
  const auto male = [](EndForm f, const char* size = "1", double mm = 25.4) { return end(f, size, mm); };
  EXPECT_EQ(fit(male(EndForm::NpsmMale), male(EndForm::NpsmFemale)), Fit::Good);
  EXPECT_EQ(fit(male(EndForm::NptMale), male(EndForm::NptFemale)), Fit::Good);
  EXPECT_EQ(fit(male(EndForm::NpsmMale), male(EndForm::NptFemale)), Fit::Poor);
  EXPECT_EQ(fit(male(EndForm::RMale), male(EndForm::GFemale)), Fit::Poor);
  EXPECT_EQ(fit(male(EndForm::NptMale), male(EndForm::GFemale)), Fit::Family);
  EXPECT_EQ(fit(male(EndForm::GMale), male(EndForm::NpsmFemale)), Fit::Family);
  EXPECT_EQ(fit(male(EndForm::GMale), male(EndForm::GFemale, "3/4", 19.05)), Fit::Size);
  EXPECT_EQ(fit(male(EndForm::GMale), male(EndForm::GMale)), Fit::Form);
  EXPECT_EQ(fit(male(EndForm::GMale), kHose38), Fit::Form);
  EXPECT_EQ(fit(male(EndForm::Any), kHose38), Fit::NotKnown);
}

TEST(Fit, DoesNotDependOnTheOrder) {
  for (const auto& a : stocked().parts())
    for (const auto& b : stocked().parts()) EXPECT_EQ(fit(a.out, b.in), fit(b.in, a.out));
}

// Each template of the tables is a run as it should be: nothing in it may need mending.
TEST(Joints, EveryTemplateMatches) {
  for (const auto& service : stocked().services()) {
    model::Run run;
    for (const auto& step : stocked().steps(service.service))
      run.parts.push_back({step.part, {}, step.length_mm, step.rise_mm, step.bends, {}, false, {}});
    if (run.parts.empty()) continue;
    const auto placed = place(run, {}, stocked());
    EXPECT_THAT(placed.faults, testing::IsEmpty()) << service.service;
    const auto match = judged(placed, service.service.c_str());
    EXPECT_TRUE(match.all_match) << service.service;
    EXPECT_EQ(match.size_note, "") << service.service;
  }
}

// Arithmetic by hand: 25 mm into the 10.4 mm of a 13 mm tail keeps 17 % of the area.
TEST(Joints, HalfInchAtTheEndOfAnInch) {
  const auto placed = place(run_of({"sink-25", "hose-25", "tail-npt-1-2-13", "seacock-npsm-1-2"}),
                            fitted("1/2 in", "npsm-1-2"), stocked());
  ASSERT_EQ(placed.parts.size(), 5u);
  const auto match = judged(placed, "galley-sink-drain");
  ASSERT_EQ(match.joints.size(), 4u);
  EXPECT_EQ(match.joints[0].fit, Fit::Good);
  EXPECT_EQ(match.joints[1].fit, Fit::Size);
  EXPECT_NEAR(match.joints[1].area_kept, 0.173, 0.001);
  EXPECT_THAT(match.joints[1].text, HasSubstr("83 % of the area lost"));
  EXPECT_EQ(match.joints[2].fit, Fit::Good);
  EXPECT_EQ(match.joints[3].fit, Fit::Good);
  EXPECT_EQ(match.bottleneck, 2u);
  EXPECT_THAT(match.size_note, HasSubstr("smaller than what this service takes: 1 to 1-1/2 in"));
  EXPECT_FALSE(match.all_match);
}

TEST(Place, PutsTheMeasuredBoreOverTheTable) {
  auto end = fitted("1 in", "npsm-1");
  end.bore_mm = 22.4;
  end.bore_u95_mm = 0.2;
  const auto placed = place(run_of({"hose-25"}), end, stocked());
  EXPECT_EQ(placed.parts.back().bore_mm, 22.4);
  EXPECT_TRUE(placed.parts.back().from_fitting);
}

TEST(Place, SaysWhatCannotBeAndKeepsIt) {
  auto run = run_of({"hose-25", "no-such-part", "sink-25"});
  run.parts[0].length_mm = -300;
  run.parts[1].bore_mm = 0;
  const auto placed = place(run, {}, stocked());
  ASSERT_EQ(placed.faults.size(), 4u);
  EXPECT_THAT(placed.faults[0], HasSubstr("a length in mm of -300 cannot be"));
  EXPECT_THAT(placed.faults[1], HasSubstr("no-such-part"));
  EXPECT_THAT(placed.faults[2], HasSubstr("a bore in mm of 0 cannot be"));
  EXPECT_THAT(placed.faults[3], HasSubstr("starts from its fixture"));
}

TEST(Place, FollowsATeeDownToTheHull) {
  auto host = run_of({"sink-38", "hose-38", "tee-hose-38", "hose-38"});
  host.id = {1};
  auto basin = run_of({"sink-25", "hose-25"});
  basin.id = {2};
  basin.joins = model::RunJoin{host.id, 2};
  const model::Run all[] = {host, basin};
  const auto placed = place(basin, fitted("1-1/2 in", ""), stocked(), all);
  EXPECT_THAT(placed.faults, testing::IsEmpty());
  ASSERT_EQ(placed.parts.size(), 5u);
  EXPECT_TRUE(placed.parts[2].branch);
  EXPECT_EQ(placed.parts[2].stock->choice.key, "tee-hose-38");
  EXPECT_EQ(judged(placed).joints[1].fit, Fit::Size);
}

TEST(Place, StopsAtTeesThatGoRound) {
  auto a = run_of({"hose-38", "tee-hose-38"}), b = a;
  a.id = {1};
  b.id = {2};
  a.joins = model::RunJoin{b.id, 1};
  b.joins = model::RunJoin{a.id, 1};
  const model::Run all[] = {a, b};
  EXPECT_THAT(place(a, {}, stocked(), all).faults, testing::Contains(HasSubstr("go round in a loop")));
  a.joins = model::RunJoin{a.id, 0};
  EXPECT_THAT(place(a, {}, stocked(), {&a, 1}).faults, testing::Contains(HasSubstr("go round in a loop")));
  a.joins = model::RunJoin{b.id, 7};
  EXPECT_THAT(place(a, {}, stocked(), all).faults, testing::Contains(HasSubstr("no part 8")));
  a.joins = model::RunJoin{{9}, 0};
  EXPECT_THAT(place(a, {}, stocked(), all).faults, testing::Contains(HasSubstr("not in the logbook")));
}

// Stocked steps of hose reducers are common practice: 25 to 19 and 19 to 13, none from 25 to 13.
TEST(Chain, IsTheShortestOneOfStockedParts) {
  const auto* hose = stocked().part("hose-25");
  const auto* tail = stocked().part("tail-npt-1-2-13");
  const auto chain = shortest_chain(hose->out, tail->in, stocked());
  ASSERT_TRUE(chain);
  EXPECT_EQ(keys(*chain), "reducer-hose-25-19 hose-19 reducer-hose-19-13 hose-13");
}

TEST(Chain, OneReducerWhereThereIsOne) {
  const auto chain = shortest_chain(stocked().part("hose-38")->out, stocked().part("hose-25")->in, stocked());
  ASSERT_TRUE(chain);
  EXPECT_EQ(keys(*chain), "reducer-hose-38-25");
}

TEST(Chain, ThreadsByABush) {
  const auto chain = shortest_chain(stocked().part("ball-valve-npt-1")->in,
                                    stocked().part("tail-npt-3-4-19")->out, stocked());
  ASSERT_TRUE(chain);
  EXPECT_EQ(keys(*chain), "bush-npt-1-3-4");
}

TEST(Chain, NothingToAddOrNothingThatHelps) {
  EXPECT_TRUE(shortest_chain(kHose38, kTail38, stocked())->parts.empty());
  EXPECT_FALSE(shortest_chain(kHose38, end(EndForm::RFemale, "3", 76.2), stocked()));
}

// Whatever two ends of the stock a chain joins, each of its joints fits, and turned round it is as long.
RC_GTEST_PROP(Chain, HoldsAtEveryJoint, ()) {
  const auto& parts = stocked().parts();
  const auto& from = parts[*rc::gen::inRange<std::size_t>(0, parts.size())].out;
  const auto& to = parts[*rc::gen::inRange<std::size_t>(0, parts.size())].in;
  const auto chain = shortest_chain(from, to, stocked());
  const auto back = shortest_chain(to, from, stocked());
  RC_ASSERT(chain.has_value() == back.has_value());
  RC_PRE(chain.has_value());
  RC_ASSERT(chain->parts.size() == back->parts.size());
  PartEnd open = from;
  for (const auto* part : chain->parts) {
    const bool straight = fit(open, part->in) == Fit::Good;
    RC_ASSERT(straight || fit(open, part->out) == Fit::Good);
    open = straight ? part->out : part->in;
  }
  RC_ASSERT(fit(open, to) == Fit::Good);
}
