#include "cases.hpp"

using namespace spile;
using namespace spile::rules;
using model::ValveState;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

namespace {

Case with_valve(ValveState state, const std::string& kind = {}, double height_mm = -500) {
  Case c = plain_case();
  c.observation->valve = state;
  c.observation->valve_kind = kind;
  c.opening.height_mm = height_mm;
  return c;
}

Verdict shut_off(const Case& c) {
  return verdict(c, "shut-off");
}

}  // namespace

// ABYC H-27 as quoted in the trade press, and EU Recreational Craft Directive, annex I A.
TEST(ShutOff, BelowTheWaterlineASeacockIsNeeded) {
  const auto none = shut_off(with_valve(ValveState::None));
  EXPECT_EQ(none.answer, "needed");
  EXPECT_EQ(none.standing, Standing::Act);
  EXPECT_THAT(none.caution, Not(IsEmpty()));
  EXPECT_THAT(none.sources, Contains(HasSubstr("Recreational Craft Directive")));
  EXPECT_EQ(shut_off(with_valve(ValveState::Works, "flanged-ball")).answer, "met");
  EXPECT_EQ(shut_off(with_valve(ValveState::Works, "flanged-ball")).standing, Standing::Good);
  EXPECT_EQ(shut_off(with_valve(ValveState::Unknown)).answer, "not-known-yet");
}

TEST(ShutOff, ASeizedValveCountsAsNone) {
  EXPECT_EQ(shut_off(with_valve(ValveState::Seized, "flanged-ball")).standing, Standing::Act);
  EXPECT_EQ(shut_off(with_valve(ValveState::Stiff, "flanged-ball")).standing, Standing::Watch);
}

// ABYC H-27, 27.4.4, as quoted in the trade press: multi-turn gate valves do not qualify.
TEST(ShutOff, AGateValveOrANonReturnValveIsNoSeacock) {
  for (const char* kind : {"gate", "globe", "non-return", "flap", "household-ball"}) {
    const auto v = shut_off(with_valve(ValveState::Works, kind));
    EXPECT_EQ(v.answer, "needed") << kind;
    EXPECT_EQ(v.standing, Standing::Act) << kind;
  }
  EXPECT_EQ(shut_off(with_valve(ValveState::Works, "inline-ball")).standing, Standing::Watch);
}

TEST(ShutOff, AboveTheWaterNoneIsNeeded) {
  EXPECT_EQ(shut_off(with_valve(ValveState::None, {}, 1500)).answer, "not-needed");
  EXPECT_EQ(shut_off(with_valve(ValveState::None, {}, 1500)).standing, Standing::Good);
}

// ABYC H-27, 27.5.1, as quoted in the trade press: below the maximum heeled waterline, with an exception for
// discharges.
TEST(ShutOff, WettedWhenHeeledCountsAsBelow) {
  auto c = with_valve(ValveState::None, {}, 100);
  c.opening.service = "galley-sink-drain";
  const auto v = shut_off(c);
  EXPECT_EQ(v.answer, "needed");
  EXPECT_THAT(v.reasons, Contains(HasSubstr("discharge above the water at rest may do without")));
  c.opening.service = "engine-raw-water-intake";
  EXPECT_THAT(shut_off(c).reasons, Not(Contains(HasSubstr("may do without"))));
}

TEST(ShutOff, TooCloseToTellCountsAsBelow) {
  EXPECT_EQ(shut_off(with_valve(ValveState::None, {}, 0)).answer, "needed");
}

TEST(ShutOff, AnUnknownZoneIsNotTakenForDry) {
  auto c = with_valve(ValveState::None);
  c.opening.height_mm.reset();
  EXPECT_EQ(shut_off(c).answer, "not-known-yet");
  c.observation->valve = ValveState::Seized;
  EXPECT_EQ(shut_off(c).standing, Standing::Act);
}

TEST(ShutOff, AGasLockerDrainMustBeFreeAndHigh) {
  auto c = with_valve(ValveState::Works, "inline-ball", 1500);
  c.opening.service = "gas-locker-drain";
  EXPECT_EQ(shut_off(c).answer, "remove");
  EXPECT_THAT(shut_off(c).caution, HasSubstr("explodes"));
  c.observation->valve = ValveState::None;
  EXPECT_EQ(shut_off(c).answer, "not-needed");
  c.opening.height_mm = 100;
  EXPECT_EQ(shut_off(c).answer, "move");
}

TEST(ShutOff, WhatHasNoBoreOrItsOwnSealTakesNoValve) {
  for (const char* service :
       {"depth-transducer", "stern-gland", "wet-exhaust", "speed-log", "garboard-drain"}) {
    auto c = with_valve(ValveState::None);
    c.opening.service = service;
    EXPECT_EQ(shut_off(c).answer, "not-applicable") << service;
  }
}

// ABYC H-22 as quoted in the trade press: 8 in above the heeled waterline, or seacock and vented loop.
TEST(ShutOff, ABilgeDischargeIsRemindedOfItsHeight) {
  auto c = with_valve(ValveState::None, {}, 1500);
  c.opening.service = "electric-bilge-discharge";
  EXPECT_THAT(shut_off(c).reasons, Contains(HasSubstr("203.2 mm (8 in)")));
}

// Common practice: a vent must stay open, so under water it must be led higher; ABYC H-27, 27.5.1, as quoted
// in the trade press, leaves room for drains that only dip under.
TEST(ShutOff, AVentUnderWaterIsLedHigherAndADrainThatDipsIsWatched) {
  auto c = with_valve(ValveState::None, {}, 100);
  c.opening.service = "fuel-tank-vent";
  EXPECT_EQ(shut_off(c).answer, "move");
  EXPECT_EQ(shut_off(c).standing, Standing::Act);
  c.opening.service = "deck-scupper";
  EXPECT_EQ(shut_off(c).answer, "not-needed");
  EXPECT_EQ(shut_off(c).standing, Standing::Watch);
  c.opening.height_mm = -200;
  EXPECT_EQ(shut_off(c).answer, "needed");
}
