// Whole cases as they come up at the hull; sources stand with the single rules.
#include "cases.hpp"
#include "units/text.hpp"

using namespace spile;
using namespace spile::rules;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using Q = model::Quantity;
using M = model::Method;

// Common practice (3/4 in) judged with ILAC-G8:09/2019: 18.6 ± 0.5 against 19.05 mm.
TEST(Situation, IsItThickEnough) {
  auto c = plain_case();
  c.measurements = {reading(Q::LaminateThickness, 18.6, 0.5, M::SteelRule)};
  auto v = verdict(c, "reinforcement");
  EXPECT_EQ(v.answer, "too-close-to-tell");
  EXPECT_EQ(v.standing, Standing::TooCloseToTell);
  EXPECT_THAT(v.headline, HasSubstr("counts as too thin"));
  EXPECT_THAT(v.would_change,
              Contains(AllOf(HasSubstr("caliper on the edge of the cut-out"), HasSubstr("19.15 mm"))));
  EXPECT_THAT(v.actions, Contains(HasSubstr("Not settled before launch: fit the backing block")));
  c.measurements.push_back(reading(Q::LaminateThickness, 18.71, 0.1, M::Caliper));
  v = verdict(c, "reinforcement");
  EXPECT_EQ(v.answer, "reinforce") << "the caliper settled it";
}

// Common practice: core closed out beyond the block by the hull's thickness, 25 mm at least, then a block.
TEST(Situation, IsItSolid) {
  auto c = plain_case();
  c.vessel.construction = model::HullConstruction::Unknown;
  c.measurements = {reading(Q::LayerThickness, 5.1, 0.3, M::SteelRule, "laminate"),
                    reading(Q::LayerThickness, 22.0, 0.3, M::SteelRule, "core"),
                    reading(Q::LayerThickness, 3.9, 0.3, M::SteelRule, "laminate"),
                    reading(Q::FlangeDiameter, 75, 0.2)};
  const auto v = verdict(c, "reinforcement");
  EXPECT_EQ(v.answer, "reinforce");
  EXPECT_EQ(v.standing, Standing::Act);
  EXPECT_THAT(v.headline, HasSubstr("Core shows at the edge"));
  EXPECT_THAT(v.inputs.back().text,
              AllOf(HasSubstr("laminate 5.10 ± 0.30 mm"), HasSubstr("core 22.00 ± 0.30 mm")));
  EXPECT_THAT(v.actions, Contains(AllOf(HasSubstr("31 mm beyond the block"), HasSubstr("187 mm across"))));
  EXPECT_THAT(v.actions, Contains(AllOf(HasSubstr("16 mm thick"), HasSubstr("125 mm across"))));
  EXPECT_THAT(v.caution, HasSubstr("glass dust"));
}

TEST(Situation, BronzeBrassOrPlastic) {
  auto c = plain_case();
  c.observation->fitting_material = "brass";
  const auto v = verdict(c, "material");
  EXPECT_EQ(v.standing, Standing::Act);
  EXPECT_THAT(all_text(v), AllOf(HasSubstr("pink"), HasSubstr("before the next launch"), HasSubstr("bronze"),
                                 HasSubstr("polysulfide"), HasSubstr("tail")));
  EXPECT_THAT(v.sources, Contains(HasSubstr("MAIB report 28/2000")));
  EXPECT_EQ(worst(judge_all(c, shipped())), Standing::Act);
}

// A caliper's value counts like a photo's, and carries the caliper's own uncertainty.
TEST(Situation, ByHand) {
  auto c = plain_case();
  const double u95 = shipped().instrument("caliper")->u95;
  c.measurements = {reading(Q::LaminateThickness, 26.0, u95)};
  EXPECT_EQ(verdict(c, "reinforcement").answer, "met");
  EXPECT_THAT(all_text(verdict(c, "reinforcement")), HasSubstr("26.00 ± 0.10 mm (caliper)"));
  EXPECT_EQ(worst(judge_all(c, shipped())), Standing::Good);
}

// A typed 1 1/2 is inches, says so, and finds its row among the nominal sizes.
TEST(Situation, Inches) {
  const auto typed = units::parse_length("1 1/2");
  ASSERT_TRUE(typed);
  EXPECT_FALSE(typed->stated);
  EXPECT_DOUBLE_EQ(typed->length.value(), 38.1);
  for (const char* size : {"1 1/2", "1-1/2 in", "38 mm"}) {
    auto c = plain_case();
    c.fitting->nominal_size = size;
    c.measurements = {reading(Q::LaminateThickness, 8, 0.2)};
    EXPECT_THAT(verdict(c, "reinforcement").actions, Contains(HasSubstr("the largest usual for 1-1/2 in")))
        << size;
  }
}
