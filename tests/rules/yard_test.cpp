// A yard's own rows over the shipped tables.
#include <gtest/gtest.h>

#include "cases.hpp"
#include "rules/tables.hpp"

using namespace spile;
using namespace spile::rules;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;

namespace {

constexpr const char* kThresholds = "key,label,value,unit,note,source\n";

model::YardTable thresholds(const std::string& rows) {
  return {"thresholds.csv", kThresholds + rows};
}

const std::string kThicker =
    "reinforce.single-skin.min,Solid laminate needs no block from,25.4,mm,,common practice\n";

}  // namespace

TEST(Yard, ItsRowStandsInPlaceOfOursAndSaysWhoseItIs) {
  const auto tables = Tables::load_with({thresholds(kThicker)});
  ASSERT_TRUE(tables) << tables.error().what;
  EXPECT_EQ(tables->threshold("reinforce.single-skin.min").value, 25.4);
  EXPECT_EQ(tables->threshold("reinforce.single-skin.min").source, "the yard's own: common practice");
  EXPECT_EQ(tables->thresholds().size(), shipped().thresholds().size());
  EXPECT_THAT(tables->yard_rows(), ElementsAre("thresholds.csv: reinforce.single-skin.min"));
  EXPECT_EQ(shipped().threshold("reinforce.single-skin.min").value, 19.05);
}

TEST(Yard, VerdictsGoByItAndNameIt) {
  auto c = plain_case();
  c.measurements = {reading(model::Quantity::LaminateThickness, 22, 0.2)};
  const auto tables = Tables::load_with({thresholds(kThicker)});
  ASSERT_TRUE(tables);
  for (const auto& v : judge_all(c, *tables)) {
    if (v.rule != "reinforcement") continue;
    EXPECT_EQ(v.answer, "reinforce");
    EXPECT_THAT(v.sources, Contains(HasSubstr("the yard's own")));
  }
  EXPECT_EQ(verdict(c, "reinforcement").answer, "met");
}

TEST(Yard, ANewRowIsAdded) {
  const auto tables = Tables::load_with(
      {{"hole_saws.csv", "size_in,diameter_mm,sold_as_mm,source\n2-3/16,55.5625,56,common practice\n"}});
  ASSERT_TRUE(tables) << tables.error().what;
  EXPECT_EQ(tables->hole_saws().size(), shipped().hole_saws().size() + 1);
  for (std::size_t i = 1; i < tables->hole_saws().size(); ++i)
    EXPECT_LT(tables->hole_saws()[i - 1].diameter_mm, tables->hole_saws()[i].diameter_mm);
}

TEST(Yard, ABadRowIsNamedByItsPlaceInTheYardsOwnFile) {
  const auto bad = Tables::load_with(
      {thresholds(kThicker + "heel.power,\"Worst heel, power craft\",seven,deg,,common practice\n")});
  ASSERT_FALSE(bad);
  EXPECT_THAT(bad.error().what,
              AllOf(HasSubstr("the yard's own"), HasSubstr("thresholds.csv, row 3, column value")));
  const auto no_source = Tables::load_with({thresholds("heel.power,Worst heel,8,deg,,\n")});
  ASSERT_FALSE(no_source);
  EXPECT_THAT(no_source.error().what, HasSubstr("row 2, column source"));
  EXPECT_FALSE(Tables::load_with({{"thresholds.csv", "key,value\n"}}));
  EXPECT_FALSE(Tables::load_with({{"no_such.csv", "key\nx\n"}}));
}
