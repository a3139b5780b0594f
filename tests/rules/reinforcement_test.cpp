#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "cases.hpp"

using namespace spile;
using namespace spile::rules;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using Q = model::Quantity;
using M = model::Method;

namespace {

Case with_laminate(double thickness, double u95, M method = M::Caliper) {
  Case c = plain_case();
  c.measurements.push_back(reading(Q::LaminateThickness, thickness, u95, method));
  return c;
}

Case with_block(Case c, const std::string& material, double thickness) {
  c.observation->backing = model::Backing::Present;
  c.observation->backing_material = material;
  c.observation->backing_thickness_mm = thickness;
  return c;
}

Verdict reinforcement(const Case& c) {
  return verdict(c, "reinforcement");
}

}  // namespace

// Common practice: 3/4 in of solid laminate needs no block. ILAC-G8:09/2019: judged with the 95 % interval as
// guard band.
TEST(Reinforcement, TheLimitIsJudgedWithItsGuardBand) {
  EXPECT_EQ(reinforcement(with_laminate(19.5, 0.4)).answer, "met");
  EXPECT_EQ(reinforcement(with_laminate(18.6, 0.4)).answer, "reinforce");
  EXPECT_EQ(reinforcement(with_laminate(19.2, 0.4)).answer, "too-close-to-tell");
  EXPECT_EQ(reinforcement(with_laminate(18.7, 0.4)).answer, "too-close-to-tell");
}

TEST(Reinforcement, BetweenThreeQuartersAndOneInchItIsWatchedBelowTheWaterline) {
  EXPECT_EQ(reinforcement(with_laminate(22, 0.2)).standing, Standing::Watch);
  EXPECT_EQ(reinforcement(with_laminate(26, 0.2)).standing, Standing::Good);
  auto high = with_laminate(22, 0.2);
  high.opening.height_mm = 1500;
  EXPECT_EQ(reinforcement(high).standing, Standing::Good);
}

TEST(Reinforcement, TooThinAboveTheWaterIsNoSinkingMatter) {
  auto c = with_laminate(8, 0.2);
  EXPECT_EQ(reinforcement(c).standing, Standing::Act);
  c.opening.height_mm = 1500;
  EXPECT_EQ(reinforcement(c).answer, "reinforce");
  EXPECT_EQ(reinforcement(c).standing, Standing::Watch);
}

TEST(Reinforcement, ASoundBlockMakesUpForThinLaminate) {
  const auto v = reinforcement(with_block(with_laminate(12, 0.2), "glass-epoxy", 15));
  EXPECT_EQ(v.answer, "met");
  EXPECT_EQ(v.standing, Standing::Good);
  EXPECT_THAT(v.reasons, Contains(HasSubstr("15.0 ± 1.5 mm")));
}

TEST(Reinforcement, PlywoodCountsOnACondition) {
  const auto v = reinforcement(with_block(with_laminate(12, 0.2), "marine-plywood", 24));
  EXPECT_EQ(v.answer, "met");
  EXPECT_EQ(v.standing, Standing::Watch);
  EXPECT_THAT(v.reasons, Contains(HasSubstr("it crushes")));
}

TEST(Reinforcement, ABlockThatDoesNotServeDoesNotCount) {
  const auto foam = reinforcement(with_block(with_laminate(12, 0.2), "foam-core", 30));
  EXPECT_EQ(foam.answer, "reinforce");
  EXPECT_THAT(foam.reasons, Contains(HasSubstr("does not count")));
  EXPECT_EQ(reinforcement(with_block(with_laminate(12, 0.2), "glass-epoxy", 6)).answer, "reinforce");
  const auto close = reinforcement(with_block(with_laminate(12, 0.2), "glass-epoxy", 13));
  EXPECT_EQ(close.answer, "too-close-to-tell");
  EXPECT_THAT(close.would_change, Contains(HasSubstr("by caliper")));
}

// Common practice: a block at least half the hull's thickness.
TEST(Reinforcement, TheBlockGrowsWithTheHull) {
  EXPECT_EQ(reinforcement(with_block(with_laminate(18, 0.2), "glass-epoxy", 15)).answer, "met");
  auto c = with_block(plain_case(), "glass-epoxy", 15);
  c.opening.construction = model::HullConstruction::Sandwich;
  c.measurements = {reading(Q::LaminateThickness, 40, 0.5)};
  EXPECT_THAT(reinforcement(c).reasons, Contains(HasSubstr("should be at least 20.0 mm")));
}

// Common practice: the block reaches 25 mm beyond the flange all round.
TEST(Reinforcement, ABlockNarrowerThanItsFlangeNeedsDoesNotCount) {
  auto c = with_block(with_laminate(12, 0.2), "glass-epoxy", 16);
  c.measurements.push_back(reading(Q::FlangeDiameter, 80, 0.5));
  c.measurements.push_back(reading(Q::BackingWidth, 100, 1));
  EXPECT_EQ(reinforcement(c).answer, "reinforce");
  c.measurements.back().value = 135;
  EXPECT_EQ(reinforcement(c).answer, "met");
}

TEST(Reinforcement, ABlockOfUnknownMaterialLeavesItOpen) {
  const auto v = reinforcement(with_block(with_laminate(12, 0.2), "", 15));
  EXPECT_EQ(v.answer, "not-known-yet");
  EXPECT_THAT(v.would_change, Contains(HasSubstr("made of")));
}

TEST(Reinforcement, TheBlockToFitHasItsSizes) {
  auto c = with_laminate(8, 0.2);
  c.fitting->nominal_size = "38 mm";
  EXPECT_THAT(reinforcement(c).actions,
              Contains(AllOf(HasSubstr("13 mm thick"), HasSubstr("140 mm across"))));
  c.measurements.push_back(reading(Q::FlangeDiameter, 72, 0.2));
  EXPECT_THAT(reinforcement(c).actions, Contains(HasSubstr("125 mm across (flange 72 mm, as measured")));
  c.fitting->nominal_size.clear();
  c.measurements.pop_back();
  EXPECT_THAT(reinforcement(c).actions, Contains(HasSubstr("25 mm beyond the flange all round")));
}

TEST(Reinforcement, TheNarrowestIntervalIsUsed) {
  auto c = with_laminate(18.6, 0.5, M::SteelRule);
  c.measurements.push_back(reading(Q::LaminateThickness, 18.9, 0.1));
  const auto v = reinforcement(c);
  EXPECT_EQ(v.answer, "reinforce");
  EXPECT_THAT(v.reasons, Contains(HasSubstr("18.90 ± 0.10 mm (caliper)")));
}

// Core carries nothing: the whole thickness of a sandwich is not what a solid laminate of it would carry.
TEST(Reinforcement, ASandwichIsNotJudgedAsSolidLaminateOfItsThickness) {
  auto c = with_laminate(40, 0.5);
  c.fitting->nominal_size = "38 mm";
  c.opening.construction = model::HullConstruction::Sandwich;
  EXPECT_THAT(all_text(reinforcement(c)), Not(HasSubstr("of solid laminate carries")));
  c.opening.construction = model::HullConstruction::SingleSkin;
  c.measurements.front().value = 12;
  EXPECT_THAT(all_text(reinforcement(c)), HasSubstr("of solid laminate carries"));
}

TEST(Reinforcement, ValuesThatDisagreeAreNamedAndTheSmallestIsUsed) {
  auto c = with_laminate(20.4, 0.1);
  c.measurements.push_back(reading(Q::LaminateThickness, 17.0, 0.5, M::SteelRule));
  const auto v = reinforcement(c);
  EXPECT_EQ(v.answer, "reinforce");
  EXPECT_THAT(v.reasons, Contains(HasSubstr("disagree beyond their intervals")));
}

TEST(Reinforcement, ConstructionComesFromTheOpeningThenTheVesselThenTheEdge) {
  auto c = with_laminate(26, 0.2);
  c.vessel.construction = model::HullConstruction::Sandwich;
  EXPECT_EQ(reinforcement(c).answer, "reinforce");
  c.opening.construction = model::HullConstruction::SingleSkin;
  EXPECT_EQ(reinforcement(c).answer, "met") << "closed out here, as recorded";
  c.opening.construction = c.vessel.construction = model::HullConstruction::Unknown;
  EXPECT_EQ(reinforcement(c).answer, "not-known-yet");
  c.measurements.push_back(reading(Q::LayerThickness, 26, 0.3, M::SteelRule, "laminate"));
  EXPECT_EQ(reinforcement(c).answer, "met");
}

TEST(Reinforcement, CoreSeenAtTheEdgeOverrulesARecordOfSingleSkin) {
  auto c = plain_case();
  c.opening.construction = model::HullConstruction::SingleSkin;
  c.measurements = {reading(Q::LayerThickness, 15, 0.3, M::SteelRule, "core")};
  const auto v = reinforcement(c);
  EXPECT_EQ(v.answer, "reinforce");
  EXPECT_THAT(v.inputs.front().text, HasSubstr("although the record says single skin"));
}

TEST(Reinforcement, ThinWhateverTheConstruction) {
  auto c = with_laminate(8, 0.2);
  c.vessel.construction = model::HullConstruction::Unknown;
  EXPECT_EQ(reinforcement(c).answer, "reinforce");
  EXPECT_THAT(reinforcement(c).reasons, Contains(HasSubstr("Solid or sandwich")));
}

TEST(Reinforcement, TimberAndMetalHaveTheirOwnWays) {
  auto c = with_laminate(30, 0.2);
  c.opening.construction = model::HullConstruction::Timber;
  EXPECT_EQ(reinforcement(c).answer, "not-applicable");
  EXPECT_THAT(all_text(reinforcement(c)), HasSubstr("along the planks"));
  c.opening.construction = model::HullConstruction::Metal;
  EXPECT_EQ(reinforcement(c).answer, "not-applicable");
  EXPECT_THAT(all_text(reinforcement(c)), HasSubstr("do not pierce the plating"));
}

// Ring under a tilting moment, worked by a second program: 2224.11 N at 150 mm on a base of 75 mm with a hole
// of 40 mm is 8.8 MPa; Douglas fir crushes at 5.5 MPa (from memory: FPL Wood Handbook).
TEST(Reinforcement, WoodUnderABaseIsToldWhatItBears) {
  auto c = with_block(with_laminate(12, 0.2), "marine-plywood", 24);
  c.measurements.push_back(reading(Q::FlangeDiameter, 75, 0.2));
  c.measurements.push_back(reading(Q::HoleDiameter, 40, 0.2));
  EXPECT_THAT(reinforcement(c).reasons, Contains(AllOf(HasSubstr("8.8 MPa"), HasSubstr("washer plate"))));
  c.observation->backing_material = "glass-epoxy";
  EXPECT_THAT(all_text(reinforcement(c)), Not(HasSubstr("MPa")));
}

TEST(Reinforcement, NothingMeasured) {
  EXPECT_EQ(reinforcement(plain_case()).answer, "not-known-yet");
  auto high = plain_case();
  high.opening.height_mm = 1500;
  EXPECT_EQ(reinforcement(high).standing, Standing::NotApplicable);
  const auto blocked = reinforcement(with_block(plain_case(), "glass-epoxy", 16));
  EXPECT_EQ(blocked.answer, "met");
  EXPECT_EQ(blocked.standing, Standing::Watch);
}

TEST(Reinforcement, AnUnknownZoneIsNotTakenForDry) {
  auto c = with_laminate(8, 0.2);
  c.opening.height_mm.reset();
  EXPECT_EQ(reinforcement(c).standing, Standing::Act);
}

RC_GTEST_PROP(Reinforcement, ThickerIsNeverJudgedWeaker, ()) {
  const double u95 = *rc::gen::inRange(1, 30) / 10.0;
  const double thin = *rc::gen::inRange(10, 400) / 10.0;
  const double thick = thin + *rc::gen::inRange(0, 200) / 10.0;
  const auto strength = [&](double t) {
    const auto answer = reinforcement(with_laminate(t, u95)).answer;
    return answer == "met" ? 2 : answer == "too-close-to-tell" ? 1 : 0;
  };
  RC_ASSERT(strength(thick) >= strength(thin));
}
