// Runs by the command line: what the demo's say, and that the yard's own margin changes what is said of the
// sea.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;

struct Demo {
  app::test::TempFolder folder;
  std::string logbook = (folder / "demo.spile").string();
  Demo() { EXPECT_EQ(spile({"demo", logbook}).status, 0); }
};

std::string said(const Demo& demo) {
  const auto ran = spile({"runs", demo.logbook});
  EXPECT_EQ(ran.status, 0) << ran.err;
  return ran.out;
}

// The demo holds a right run, a half-inch fitting on a one-inch run, and threads of two families.
TEST(Runs, TheDemosMismatchesAreNamed) {
  const Demo demo;
  const auto text = said(demo);
  EXPECT_THAT(text, HasSubstr("Sizes and threads match all the way."));
  EXPECT_THAT(text, HasSubstr("threads of different family"));
  EXPECT_THAT(text, HasSubstr("narrowest"));
  EXPECT_THAT(text, HasSubstr("L/min"));
}

TEST(Runs, AsJsonTheyParse) {
  const Demo demo;
  const auto ran = spile({"runs", demo.logbook, "--json"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_FALSE(json::parse(ran.out).empty());
}

TEST(Runs, TheYardsMarginBetweenRimAndSeaIsGoneBy) {
  const Demo demo;
  const auto before = said(demo);
  const auto table = demo.folder / "thresholds.csv";
  app::test::write_text(
      table,
      "key,label,value,unit,note,source\n"
      "run.rim.margin,\"Fixture's rim above the heeled sea by at least\",5000,mm,,common practice\n");
  const auto laid = spile({"rules", demo.logbook, "--lay", table.string()});
  ASSERT_EQ(laid.status, 0) << laid.err;
  EXPECT_NE(said(demo), before);
}

TEST(Runs, FloodingRanksTheOpeningsAndCautions) {
  const Demo demo;
  const auto ran = spile({"flooding", demo.logbook});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("1. "));
  EXPECT_THAT(ran.out, HasSubstr("buckets a minute"));
  EXPECT_THAT(ran.out, HasSubstr("until the cabin sole is wet"));
}

TEST(Runs, APartAddedIsTakenBackByUndo) {
  const Demo demo;
  const auto before = said(demo);
  const auto added = spile({"run", demo.logbook, "S-01", "--add", "no-such-part"});
  EXPECT_NE(added.status, 0);
  EXPECT_EQ(said(demo), before) << "nothing half-written";
  const auto ran = spile({"run", demo.logbook, "S-01", "--change", "2", "--length", "900 mm"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_NE(said(demo), before);
  EXPECT_EQ(spile({"undo", demo.logbook}).status, 0);
  EXPECT_EQ(said(demo), before);
}

}  // namespace
}  // namespace spile::cli::test
