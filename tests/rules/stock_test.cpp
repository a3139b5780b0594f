#include "rules/stock.hpp"

#include <gmock/gmock.h>

#include "assets/embedded.hpp"
#include "shipped.hpp"
#include "stocked.hpp"

using namespace spile;
using namespace spile::rules;
using testing::HasSubstr;

namespace {

Result<Stock> with(const std::string& table, const std::string& from, const std::string& to) {
  std::string spoilt(assets::text("tables/" + table));
  const auto at = spoilt.find(from);
  EXPECT_NE(at, spoilt.npos) << "the table no longer holds " << from;
  spoilt.replace(at, from.size(), to);
  return Stock::load([&](std::string_view name) {
    return name == table ? std::string_view(spoilt) : assets::text("tables/" + std::string(name));
  });
}

}  // namespace

TEST(Stock, ShippedOneLoads) {
  EXPECT_GE(stocked().parts().size(), 200u);
  EXPECT_GE(stocked().services().size(), 25u);
  for (const auto& part : stocked().parts()) EXPECT_FALSE(part.choice.source.empty()) << part.choice.key;
}

TEST(Stock, NamesTheCellThatIsWrong) {
  EXPECT_THAT(with("run_parts.csv", "hose,25 mm,hose,25 mm,25", "hose,25 mm,hose,25 mm,0").error().what,
              HasSubstr("bore_mm"));
  EXPECT_THAT(with("run_templates.csv", "sink-38", "sink-39").error().what, HasSubstr("run_parts.csv"));
  EXPECT_THAT(with("losses.csv", "elbow-90,\"Screwed elbow, 90 degrees\",25.4",
                   "elbow-90,\"Screwed elbow, 90 degrees\",2.54")
                  .error()
                  .what,
              HasSubstr("smallest first"));
  EXPECT_THAT(with("run_services.csv", "galley-sink-drain,1,", "galley-sink-drain,one,").error().what,
              HasSubstr("size_from"));
}

// From memory: White, Fluid Mechanics, table 6.5: screwed regular elbow 2.0 at 1/2 in, 1.5 at 1 in, 0.95 at 2
// in; open gate valve 0.24 at 1 in; tee branch 1.8 at 1 in, line flow 0.9. From memory: Munson, table 8.2:
// ball valve 0.05, union 0.08.
TEST(Stock, LossesAgainstTheirTables) {
  const double inch = 25.4;
  EXPECT_DOUBLE_EQ(stocked().loss("elbow-90").at(inch / 2), 2.0);
  EXPECT_DOUBLE_EQ(stocked().loss("elbow-90").at(inch), 1.5);
  EXPECT_DOUBLE_EQ(stocked().loss("elbow-90").at(2 * inch), 0.95);
  EXPECT_NEAR(stocked().loss("elbow-90").at(1.5 * inch), 1.225, 1e-9);  // half-way between its neighbours
  EXPECT_DOUBLE_EQ(stocked().loss("gate-valve").at(inch), 0.24);
  EXPECT_DOUBLE_EQ(stocked().loss("tee-branch").at(inch), 1.8);
  EXPECT_DOUBLE_EQ(stocked().loss("tee-line").at(inch), 0.9);
  EXPECT_DOUBLE_EQ(stocked().loss("ball-valve").at(38), 0.05);
  EXPECT_DOUBLE_EQ(stocked().loss("union").at(38), 0.08);
}

TEST(Stock, EveryServiceOfATemplateIsAService) {
  for (const auto& service : stocked().services())
    EXPECT_NE(shipped().service(service.service), nullptr) << service.service;
}

TEST(NominalStep, OneSizeHoweverItIsSpelled) {
  const auto* size = nominal_step("1-1/2");
  ASSERT_NE(size, nullptr);
  EXPECT_EQ(nominal_step("38 mm"), size);
  EXPECT_EQ(nominal_step("1 1/2 in"), size);
  EXPECT_EQ(nominal_step("40 mm"), size);
  EXPECT_EQ(nominal_step("100 m"), nullptr);
  EXPECT_EQ(nominal_step("something"), nullptr);
}
