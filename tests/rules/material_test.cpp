#include "cases.hpp"

using namespace spile;
using namespace spile::rules;
using testing::Contains;
using testing::HasSubstr;

namespace {

Case of(const std::string& material, double height_mm = -500) {
  Case c = plain_case();
  c.observation->fitting_material = material;
  c.opening.height_mm = height_mm;
  return c;
}

Verdict material(const Case& c) {
  return verdict(c, "material");
}

}  // namespace

// ISO 9093:2020, 4.1: below the laden waterline brass must resist dezincification. MAIB report 28/2000: a
// brass fitting broke near the flange at the start of its thread.
TEST(Material, PlainBrassBelowTheWaterlineMustGo) {
  const auto v = material(of("brass"));
  EXPECT_EQ(v.answer, "unsuitable");
  EXPECT_EQ(v.standing, Standing::Act);
  EXPECT_THAT(v.headline, HasSubstr("before the next launch"));
  EXPECT_THAT(v.sources, Contains(HasSubstr("MAIB report 28/2000")));
  EXPECT_EQ(material(of("dzr-brass")).answer, "suits-if");
  EXPECT_EQ(material(of("tin-bronze")).answer, "suits");
}

TEST(Material, TheSameFittingHigherUp) {
  EXPECT_EQ(material(of("brass", 100)).answer, "unsuitable") << "wetted when heeled";
  EXPECT_EQ(material(of("brass", 1500)).answer, "suits-if");
  EXPECT_EQ(material(of("plain-nylon")).answer, "unsuitable");
  EXPECT_EQ(material(of("plain-nylon", 100)).answer, "suits-if");
  EXPECT_EQ(material(of("plain-nylon", 1500)).answer, "suits");
}

// 46 CFR 171.119: no cast iron, wherever it is.
TEST(Material, CastIronNowhere) {
  for (const double height : {-500.0, 100.0, 1500.0})
    EXPECT_EQ(material(of("cast-iron", height)).answer, "unsuitable");
  auto c = of("cast-iron");
  c.opening.height_mm.reset();
  EXPECT_EQ(material(c).answer, "unsuitable") << "the zone does not matter";
}

TEST(Material, WithoutAZoneOnlyWhatHoldsEverywhereIsSaid) {
  auto c = of("tin-bronze");
  c.opening.height_mm.reset();
  EXPECT_EQ(material(c).answer, "suits");
  c.observation->fitting_material = "brass";
  EXPECT_EQ(material(c).answer, "not-known-yet");
}

TEST(Material, TooCloseToTheWaterCountsAsBelow) {
  EXPECT_EQ(material(of("brass", 0)).answer, "unsuitable");
}

TEST(Material, TheSurveyOverrulesTheFittingsRecord) {
  auto c = of("");
  c.fitting->material = "brass";
  EXPECT_EQ(material(c).answer, "unsuitable");
  c.observation->fitting_material = "gunmetal";
  EXPECT_EQ(material(c).answer, "suits");
  c.observation.reset();
  c.fitting.reset();
  EXPECT_EQ(material(c).answer, "not-known-yet");
}

TEST(Material, YellowMetalMustBeScratchedFirst) {
  const auto v = material(of("yellow-metal"));
  EXPECT_EQ(v.answer, "not-known-yet");
  EXPECT_THAT(v.would_change, Contains(HasSubstr("pink")));
}

// ISO 9093:2020, 4.2: no copper alloys where aluminium is in the system.
TEST(Material, BronzeInAMetalHullIsACaution) {
  auto c = of("tin-bronze");
  c.opening.construction = model::HullConstruction::Metal;
  EXPECT_EQ(material(c).standing, Standing::Watch);
  EXPECT_THAT(material(c).reasons, Contains(HasSubstr("never bronze")));
  c.observation->fitting_material = "aluminium";
  EXPECT_EQ(material(c).answer, "suits-if");
  c.opening.construction = model::HullConstruction::SingleSkin;
  EXPECT_EQ(material(c).answer, "unsuitable");
}

// Galvanic chart as quoted in the trade press: bronze and aluminium lie 0.6 V apart.
TEST(Material, ABackingPlateOfTheWrongMetal) {
  auto c = of("silicon-bronze");
  c.observation->backing = model::Backing::Present;
  c.observation->backing_material = "aluminium-plate";
  EXPECT_EQ(material(c).answer, "unsuitable");
  EXPECT_THAT(material(c).reasons, Contains(HasSubstr("V apart")));
  c.observation->backing_material = "stainless-plate";
  EXPECT_EQ(material(c).answer, "suits-if");
  c.observation->backing_material = "glass-epoxy";
  EXPECT_EQ(material(c).answer, "suits");
}
