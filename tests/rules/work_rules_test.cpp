// Room, access, bedding, condition and removal.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "cases.hpp"

using namespace spile;
using namespace spile::rules;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

namespace {

Case room(double stack, double tail, double bend, double bore, double clear) {
  auto c = plain_case();
  c.fitting->stack_mm = stack;
  c.fitting->tail_mm = tail;
  c.fitting->bend_mm = bend;
  c.fitting->bore_mm = bore;
  c.opening.clear_depth_mm = clear;
  return c;
}

Case found(std::vector<std::string> findings) {
  auto c = plain_case();
  c.observation->findings = std::move(findings);
  return c;
}

Case bedded(const char* bedding, const char* material) {
  auto c = plain_case();
  c.fitting->bedding = bedding;
  c.fitting->material = material;
  return c;
}

}  // namespace

// By hand: straight 90 + 50 + 120 + 38/2 = 279 mm; elbow 90 + 2 x 38 = 166 mm; tapes good to 7 mm together.
TEST(Room, StraightElbowOrNeither) {
  const auto answer = [](double clear) { return verdict(room(90, 50, 120, 38, clear), "room").answer; };
  EXPECT_EQ(answer(300), "straight");
  EXPECT_EQ(answer(280), "too-close-to-tell");
  EXPECT_EQ(answer(200), "elbow");
  EXPECT_EQ(answer(165), "too-close-to-tell");
  EXPECT_EQ(answer(120), "neither");
  EXPECT_THAT(verdict(room(90, 50, 120, 38, 200), "room").reasons,
              Contains(AllOf(HasSubstr("279 mm"), HasSubstr("166 mm"))));
}

// Common practice: a bend of three bores where the hose's maker does not say.
TEST(Room, WhatIsAssumedSaysSo) {
  auto c = room(90, 50, 120, 38, 300);
  c.fitting->bend_mm.reset();
  EXPECT_THAT(all_text(verdict(c, "room")), HasSubstr("114 mm, taken as 3 times the bore"));
}

TEST(Room, TheSpannerNeedsRoomToo) {
  auto c = room(90, 50, 120, 38, 400);
  c.fitting->nominal_size = "1-1/2 in";
  c.opening.clear_width_mm = 200;
  EXPECT_EQ(verdict(c, "room").standing, Standing::Good);
  c.opening.clear_width_mm = 100;
  EXPECT_EQ(verdict(c, "room").standing, Standing::Watch);
}

// EN ISO 9093:2021, clause 3: readily accessible is quick, safe and without tools.
TEST(Access, AValveUnderWaterMustBeToHand) {
  auto c = plain_case();
  EXPECT_EQ(verdict(c, "access").answer, "readily");
  c.opening.reach = model::Reach::WithTools;
  EXPECT_EQ(verdict(c, "access").standing, Standing::Act);
  c.opening.height_mm = 1500;
  EXPECT_EQ(verdict(c, "access").standing, Standing::Watch);
  c.opening.height_mm = -500;
  c.opening.reach = model::Reach::ByDismantling;
  EXPECT_THAT(verdict(c, "access").headline, HasSubstr("taken apart"));
  c.opening.reach = model::Reach::Unknown;
  EXPECT_EQ(verdict(c, "access").standing, Standing::NotKnownYet);
}

TEST(Access, SlowIsSaid) {
  auto c = plain_case();
  c.opening.reach_s = 20;
  EXPECT_EQ(verdict(c, "access").standing, Standing::Good);
  c.opening.reach_s = 90;
  EXPECT_EQ(verdict(c, "access").answer, "slow");
}

// Trade press: polysulfide attacks ABS and PVC; common practice: no silicone or butyl under water,
// polyurethane and polysulfide for bronze.
TEST(Bedding, ByZoneAndPlastic) {
  EXPECT_EQ(verdict(bedded("polysulfide", "tin-bronze"), "bedding").answer, "suits");
  EXPECT_EQ(verdict(bedded("polysulfide", "abs"), "bedding").answer, "unsuitable");
  EXPECT_EQ(verdict(bedded("polysulfide", "reinforced-nylon"), "bedding").answer, "suits");
  EXPECT_EQ(verdict(bedded("silicone", "tin-bronze"), "bedding").answer, "unsuitable");
  EXPECT_EQ(verdict(bedded("butyl", "tin-bronze"), "bedding").answer, "unsuitable");
  auto high = bedded("butyl", "tin-bronze");
  high.opening.height_mm = 1500;
  EXPECT_EQ(verdict(high, "bedding").answer, "suits");
}

TEST(Bedding, SaysWhatToUseAndWhatNever) {
  const auto v = verdict(bedded("", "abs"), "bedding");
  EXPECT_EQ(v.answer, "not-known-yet");
  EXPECT_THAT(v.reasons,
              Contains(AllOf(HasSubstr("Never here"), HasSubstr("polysulfide"), HasSubstr("silicone"))));
  EXPECT_THAT(v.actions.front(), AllOf(HasSubstr("polyether"), Not(HasSubstr("polysulfide"))));
}

TEST(Bedding, ABareHoleIsNotAskedWhatItIsBeddedIn) {
  auto c = bedded("", "");
  c.fitting->kind = "no-fitting";
  c.fitting->next.material = "tin-bronze";
  EXPECT_EQ(verdict(c, "bedding").standing, Standing::NotApplicable);
  EXPECT_THAT(verdict(c, "bedding").actions.front(), HasSubstr("polysulfide"));
}

TEST(Bedding, IsChosenForTheFittingToGoInNext) {
  auto c = bedded("", "tin-bronze");
  c.fitting->next.material = "abs";
  EXPECT_THAT(verdict(c, "bedding").actions.front(),
              AllOf(HasSubstr("on ABS"), Not(HasSubstr("polysulfide"))));
}

// MAIB report 28/2000: a dezincified brass fitting broke at the thread inside the flange.
TEST(Condition, TheWorstReasonComesFirst) {
  const auto v = verdict(found({"crazing", "pink-metal", "fouled"}), "condition");
  EXPECT_EQ(v.answer, "before-launch");
  EXPECT_EQ(v.standing, Standing::Act);
  EXPECT_THAT(v.headline, AllOf(HasSubstr("failed"), HasSubstr("Before launch"), HasSubstr("Pink")));
  EXPECT_THAT(v.reasons.front(), HasSubstr("Pink"));
  EXPECT_THAT(v.sources, Contains(HasSubstr("MAIB report 28/2000")));
}

TEST(Condition, OneUrgencyForEachLot) {
  EXPECT_EQ(verdict(found({"nothing-found"}), "condition").answer, "nothing");
  EXPECT_EQ(verdict(found({"crazing"}), "condition").answer, "keep-an-eye-on");
  EXPECT_EQ(verdict(found({"blisters"}), "condition").answer, "this-season");
  EXPECT_EQ(verdict(found({"weeping"}), "condition").answer, "before-launch");
}

TEST(Condition, NotLookedAtIsNotFine) {
  auto c = plain_case();
  c.observation->seen = model::Seen::NotLookedAt;
  EXPECT_EQ(verdict(c, "condition").standing, Standing::NotKnownYet);
  EXPECT_THAT(settle_by(verdict(c, "condition")), HasSubstr("weeping"));
  c.observation.reset();
  EXPECT_EQ(verdict(c, "condition").standing, Standing::NotKnownYet);
}

TEST(Condition, WhatTheOtherRulesAskForBeforeLaunchCounts) {
  auto c = plain_case();
  c.observation->valve = model::ValveState::Seized;
  const auto v = verdict(c, "condition");
  EXPECT_EQ(v.answer, "before-launch");
  EXPECT_THAT(v.reasons, Contains(HasSubstr("seized")));
}

RC_GTEST_PROP(Condition, AboveTheWaterIsNeverMoreUrgentThanBelow, ()) {
  std::vector<std::string> findings;
  const auto& all = shipped().findings();
  for (int i = 0; i < 3; ++i)
    findings.push_back(all[*rc::gen::inRange<std::size_t>(0, all.size())].choice.key);
  auto low = found(findings), high = found(findings);
  low.observation->condition = high.observation->condition = model::Condition::Unknown;
  high.opening.height_mm = 1500;
  const auto rank = [](const Case& c) {
    const auto answer = verdict(c, "condition").answer;
    return answer == "before-launch" ? 3 : answer == "this-season" ? 2 : answer == "keep-an-eye-on" ? 1 : 0;
  };
  RC_ASSERT(rank(high) <= rank(low));
}

// Common practice.
TEST(Removal, ByBeddingMaterialAndAge) {
  EXPECT_EQ(verdict(bedded("polysulfide", "tin-bronze"), "removal").answer, "hard")
      << "a flanged seacock has bolts";
  auto plain = bedded("polysulfide", "tin-bronze");
  plain.fitting->kind = "mushroom";
  EXPECT_EQ(verdict(plain, "removal").answer, "easy");
  EXPECT_EQ(verdict(bedded("epoxy", "tin-bronze"), "removal").answer, "cut");
  plain.fitting->fitted = "about 1986";
  plain.on = "2026-04-12";
  EXPECT_EQ(verdict(plain, "removal").answer, "hard");
  EXPECT_THAT(all_text(verdict(plain, "removal")), HasSubstr("40 years"));
}

TEST(Removal, AnUnknownBeddingLeavesItOpen) {
  auto c = plain_case();
  c.fitting->kind = "mushroom";
  EXPECT_EQ(verdict(c, "removal").answer, "not-known-yet");
  c.observation->findings = {"pink-metal"};
  EXPECT_EQ(verdict(c, "removal").answer, "cut") << "whatever it is bedded in";
  EXPECT_THAT(verdict(c, "removal").sources, Contains(HasSubstr("MAIB")));
}

TEST(Material, TailAndValveCount) {
  auto c = plain_case();
  c.fitting->tail_material = "brass";
  auto v = verdict(c, "material");
  EXPECT_EQ(v.answer, "unsuitable");
  EXPECT_THAT(v.headline, AllOf(HasSubstr("tail"), HasSubstr("before the next launch")));
  c.fitting->tail_material = "yellow-metal";
  EXPECT_EQ(verdict(c, "material").answer, "not-known-yet");
  EXPECT_THAT(settle_by(verdict(c, "material")), HasSubstr("pink means its zinc is gone"));
  c.observation->findings = {"pink-metal"};
  EXPECT_EQ(verdict(c, "material").answer, "unsuitable") << "scratched, and it was pink";
}

// ABYC E-2, as quoted in the trade press: 1 ohm at most.
TEST(Material, Bonding) {
  auto c = plain_case();
  c.observation->bonding_ohm = 0.4;
  EXPECT_EQ(verdict(c, "material").standing, Standing::Good);
  c.observation->bonding_ohm = 3;
  EXPECT_EQ(verdict(c, "material").standing, Standing::Watch);
}

// ABYC H-27, as quoted in the trade press: straight with straight, taper with taper.
TEST(ShutOff, ThreadsMustMatch) {
  auto c = plain_case();
  c.fitting->thread = "npsm-1";
  c.fitting->valve_thread = "npsm-1";
  EXPECT_EQ(verdict(c, "shut-off").standing, Standing::Good);
  c.fitting->valve_thread = "npt-1";
  EXPECT_EQ(verdict(c, "shut-off").answer, "threads-differ");
  c.fitting->valve_thread = "g-1";
  EXPECT_EQ(verdict(c, "shut-off").standing, Standing::Act);
  c.fitting->valve_thread = "npsm-3-4";
  EXPECT_THAT(verdict(c, "shut-off").headline, HasSubstr("two sizes"));
}

// ABYC P-1 as quoted in the trade press, and common practice: two clips under water.
TEST(ShutOff, ClipsAndPlug) {
  auto c = plain_case();
  c.observation->clips = 1;
  EXPECT_EQ(verdict(c, "shut-off").standing, Standing::Watch);
  c.observation->clips = 2;
  EXPECT_EQ(verdict(c, "shut-off").standing, Standing::Good);
  c.observation->plug = model::Plug::None;
  EXPECT_THAT(verdict(c, "shut-off").actions, Contains(HasSubstr("softwood plug")));
}

// By hand: tan 2 deg = 0.03492; 10 m craft, 1 m from the bow is 4 m from the middle: 140 mm.
TEST(Zone, TrimRaisesTheWaterAtTheEnds) {
  auto c = plain_case();
  c.vessel.length_mm = 10'000;
  c.vessel.type = model::VesselType::Power;
  c.opening.half_breadth_mm = 500;
  c.opening.height_mm = 150;
  c.opening.from_bow_mm = 1000;
  EXPECT_EQ(verdict(c, "zone").answer, "above");
  c.vessel.trim_deg = 2;
  EXPECT_EQ(verdict(c, "zone").answer, "wetted-when-heeled");
  EXPECT_THAT(verdict(c, "zone").reasons, Contains(HasSubstr("140 mm besides")));
  c.opening.from_bow_mm = 5000;
  EXPECT_EQ(verdict(c, "zone").answer, "above") << "amidships trim changes nothing";
}
