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
  EXPECT_THAT(ran.out, HasSubstr("C-01: 1 of 12 to worry about"));
  EXPECT_THAT(ran.out, HasSubstr("buckets a minute"));
  EXPECT_THAT(ran.out, HasSubstr("until the cabin sole is wet"));
}

// Situation: a drain above the water at rest that goes under when she heels.
TEST(Runs, TheSectionSaysWhatHeelDoes) {
  const Demo demo;
  const auto ran = spile({"section", demo.logbook, "S-04"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("S-04 lies 50 mm above the water at rest, but goes under at 30° heel"));
  EXPECT_THAT(ran.out, HasSubstr("seacock"));
  EXPECT_THAT(ran.out, HasSubstr("Can cockpit well flood through it? No."));
  EXPECT_THAT(spile({"section", demo.logbook, "S-05"}).out, HasSubstr("Can shower flood through it? Yes."));
  const auto all = spile({"section", demo.logbook, "--json"});
  ASSERT_EQ(all.status, 0) << all.err;
  const auto list = json::parse(all.out);
  EXPECT_GE(list.size(), 16U) << "every opening at least once";
  for (const auto& one : list) EXPECT_FALSE(one.at("words").empty());
  EXPECT_NE(spile({"section", demo.logbook, "X-99"}).status, 0);
}

// One run from a small file: what cannot be is said, the rest is worked out.
TEST(Runs, OneRunFromAFile) {
  const app::test::TempFolder folder;
  const auto file = (folder / "run.json").string();
  const auto flow = [&](const std::string& parts) {
    app::test::write_text(
        file, R"({"service": "galley-sink-drain", "opening": {"height_mm": -140, "size": "1-1/2 in"},)"
              R"( "outlet_height_mm": 300, "basin_depth": "160 mm", "parts": [)" +
                  parts + "]}");
    return spile({"flow", file, "--json"});
  };
  const auto good = flow(R"({"part": "sink-38"}, {"part": "hose-38", "length": "1.2 m"})");
  ASSERT_EQ(good.status, 0) << good.err;
  EXPECT_GT(json::parse(good.out).at("flow").at("at_rest").at("litres_per_minute"), 30);
  for (const auto& [bad, said] : std::vector<std::pair<const char*, const char*>>{
           {R"({"part": "hose-38", "length_mm": -5})", "a length in mm of -5 cannot be"},
           {R"({"part": "hose-38", "bore_mm": 0})", "a bore in mm of 0 cannot be"},
           {R"({"part": "pump-shower-19", "curve": "3 m 0; 4 m 20; 0 m 60"})", "The pump curve rises"}}) {
    const auto refused = flow(bad);
    EXPECT_EQ(refused.status, 3);
    EXPECT_THAT(json::parse(refused.out).at("faults").dump(), HasSubstr(said));
  }
  EXPECT_NE(flow(R"({"part": "no-such-part", "length": "wide"})").status, 0);
}

TEST(Runs, ATeeIsJoinedByName) {
  const Demo demo;
  EXPECT_THAT(said(demo), HasSubstr("while galley second bowl runs too"));
  const auto parted = spile({"run", demo.logbook, "S-02", "--name", "galley second bowl", "--joins", "none"});
  ASSERT_EQ(parted.status, 0) << parted.err;
  EXPECT_THAT(said(demo), testing::Not(HasSubstr("runs too")));
  const auto joined = spile({"run", demo.logbook, "S-02", "--name", "galley second bowl", "--joins",
                             "galley sink", "--behind", "3"});
  ASSERT_EQ(joined.status, 0) << joined.err;
  EXPECT_THAT(said(demo), HasSubstr("while galley second bowl runs too"));
  const auto round = spile(
      {"run", demo.logbook, "S-02", "--name", "galley sink", "--joins", "galley sink", "--behind", "3"});
  EXPECT_THAT(round.out + round.err, HasSubstr("The tees go round in a loop"));
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
