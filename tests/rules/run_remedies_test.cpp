#include "rules/run_remedies.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include "shipped.hpp"
#include "stocked.hpp"

using namespace spile;
using namespace spile::rules;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

namespace {

std::vector<Remedy> found(const PlacedRun& run, const RunEnd& end, const char* service) {
  return remedies({run, end, stocked().service(service), stocked(), shipped()});
}

}  // namespace

// A half-inch fitting at the end of a run that starts with a one-inch drain. Expected by hand: all of it 1 in
// serves; no sink's waste is made for 1/2 in hose; reducers keep the narrow bore.
TEST(Remedies, HalfInchAtTheEndOfAnInch) {
  RunEnd end = fitted("1/2 in", "npsm-1-2");
  end.hole_mm = 22.1;
  const auto run =
      place(run_of({"sink-25", "hose-25", "tail-npt-1-2-13", "seacock-npsm-1-2"}), end, stocked());
  const auto list = found(run, end, "galley-sink-drain");
  ASSERT_GE(list.size(), 2u);
  EXPECT_EQ(list[0].title, "All of it 1 in (25 mm hose)");
  EXPECT_TRUE(list[0].serves);
  EXPECT_TRUE(list[0].enlarges_opening);
  EXPECT_THAT(list[0].steps, Contains(HasSubstr("enlarge the hole from 22.1 mm as measured to 35 mm")));
  EXPECT_THAT(list[0].buy, Contains("Through-hull, 1 NPSM stem"));
  EXPECT_THAT(list[0].buy, Contains("Seacock, flanged, 1 NPT inboard on 1 NPSM stem"));
  EXPECT_THAT(list[0].buy, Contains("Hose tail, 1 NPT to 25 mm hose"));
  EXPECT_THAT(list[0].why_not, HasSubstr("ashore"));
  const auto& last = list.back();
  EXPECT_FALSE(last.one_size);
  EXPECT_FALSE(last.serves);
  EXPECT_THAT(last.steps, Contains(HasSubstr("hose reducer, 25 to 19 mm")));
  EXPECT_THAT(last.why_not, HasSubstr("the bore stays at"));
}

// The hose is what is wrong, so the hose is what is changed: the opening is left alone.
TEST(Remedies, LeavesTheOpeningAloneWhereItCan) {
  RunEnd end = fitted("1-1/2 in", "npsm-1-1-2");
  end.hole_mm = 49.6;
  const auto run =
      place(run_of({"sink-38", "hose-32", "tail-npt-1-1-2-38", "seacock-npsm-1-1-2"}), end, stocked());
  const auto list = found(run, end, "galley-sink-drain");
  ASSERT_FALSE(list.empty());
  EXPECT_FALSE(list[0].replaces_fitting);
  EXPECT_THAT(list[0].buy, testing::ElementsAre("Hose, smooth bore, 38 mm (1-1/2 in)"));
  EXPECT_THAT(list[0].steps, testing::ElementsAre(HasSubstr("Replace hose, smooth bore, 32 mm")));
}

// A basin is not drained through the waste of an icebox because that one is made in the wanted size.
TEST(Remedies, AFixtureStaysOfItsKind) {
  const auto run =
      place(run_of({"sink-25", "hose-25", "through-hull-tail-19"}), fitted("3/4 in", ""), stocked());
  const auto list = found(run, fitted("3/4 in", ""), "galley-sink-drain");
  ASSERT_FALSE(list.empty());
  for (const auto& remedy : list)
    EXPECT_THAT(remedy.buy, testing::Each(testing::Not(HasSubstr("drain, tail"))));
}

TEST(Remedies, MendsAThreadOfTheWrongFamily) {
  RunEnd end = fitted("1 in", "npsm-1");
  const auto run = place(run_of({"sink-25", "hose-25", "tail-g-1-25", "seacock-npsm-1"}), end, stocked());
  const auto list = found(run, end, "galley-sink-drain");
  ASSERT_FALSE(list.empty());
  EXPECT_THAT(list[0].buy, testing::ElementsAre("Hose tail, 1 NPT to 25 mm hose"));
}

TEST(Remedies, NothingForARunThatIsRight) {
  RunEnd end = fitted("1-1/2 in", "npsm-1-1-2");
  const auto run =
      place(run_of({"sink-38", "hose-38", "tail-npt-1-1-2-38", "seacock-npsm-1-1-2"}), end, stocked());
  EXPECT_THAT(found(run, end, "galley-sink-drain"), IsEmpty());
}

// Whatever two sizes meet, what is proposed as one size matches at every joint, and the order keeps its
// promise.
RC_GTEST_PROP(Remedies, WhatIsProposedMatches, ()) {
  static constexpr int hoses[] = {13, 19, 25, 32, 38};
  static constexpr const char* sizes[] = {"1-2", "3-4", "1", "1-1-4", "1-1-2"};
  const auto pick = [] { return *rc::gen::inRange<std::size_t>(0, 5); };
  const std::size_t tail = pick(), valve = pick(), hull = pick();
  const std::string family = *rc::gen::element<std::string>("npt", "g");
  model::Run run = run_of({"sink-25"});
  run.parts.push_back({"hose-" + std::to_string(hoses[pick()]), {}, {}, {}, {}, {}, false, {}});
  run.parts.push_back({"tail-" + family + "-" + sizes[tail] + "-" + std::to_string(hoses[tail]),
                       {},
                       {},
                       {},
                       {},
                       {},
                       false,
                       {}});
  run.parts.push_back({std::string("seacock-npsm-") + sizes[valve], {}, {}, {}, {}, {}, false, {}});
  run.parts.push_back({std::string("through-hull-npsm-") + sizes[hull], {}, {}, {}, {}, {}, false, {}});
  const RunEnd end;
  const auto list = found(place(run, end, stocked()), end, "head-basin-drain");
  for (std::size_t i = 0; i < list.size(); ++i) {
    const auto match = judge_joints(list[i].after, nullptr, true);
    RC_ASSERT(match.all_match);
    if (i > 0) RC_ASSERT(list[i - 1].serves || !list[i].serves);
  }
}
