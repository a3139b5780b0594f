// Runs through the use cases: what cannot be is said and kept as typed, runs that share a tee flow together,
// the demo holds one of each, and many random runs are all solved.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "app/demo.hpp"
#include "app/section.hpp"
#include "app/session.hpp"
#include "app/water_words.hpp"
#include "random_runs.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

using test::must;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;

model::RunPart part(const std::string& key, std::optional<double> length_mm = {}) {
  model::RunPart p;
  p.part = key;
  p.length_mm = length_mm;
  return p;
}

class Runs : public testing::Test {
 protected:
  Runs() {
    auto opening = session_.snapshot().openings.front().opening;
    opening.service = "galley-sink-drain";
    opening.height_mm = -140;
    opening.half_breadth_mm = 1000;
    must(session_.save_opening(opening));
  }
  [[nodiscard]] model::Run sink(const std::string& name = "sink") const {
    model::Run run;
    run.opening = test::id_of(session_);
    run.name = name;
    run.outlet_height_mm = 340;
    run.basin_depth_mm = 160;
    run.from_centreline_mm = 300;
    run.parts = {part("sink-38"), part("hose-38", 500), part("tee-hose-38"), part("hose-38", 700)};
    return run;
  }
  const RunView& saved(const model::Run& run) {
    const auto id = must(session_.save_run(run));
    return *session_.snapshot().water.find(id);
  }

  test::TempFolder folder_;
  Session session_ = test::logbook_with_opening(folder_ / "test.spile");
};

TEST_F(Runs, NegativeLengthIsSaidAndKeptAsTyped) {
  auto run = sink();
  run.parts[1].length_mm = -500;
  const RunView& view = saved(run);
  EXPECT_THAT(view.faults, Contains(HasSubstr("a length in mm of -500 cannot be")));
  EXPECT_EQ(view.run.parts[1].length_mm, -500);
  EXPECT_EQ(view.standing, rules::Standing::NotKnownYet);
  EXPECT_EQ(view.headline, view.faults.front());
  EXPECT_FALSE(view.at_rest.flows());
}

TEST_F(Runs, ZeroBoreIsSaidAndKeptAsTyped) {
  auto run = sink();
  run.parts[3].bore_mm = 0;
  const RunView& view = saved(run);
  EXPECT_THAT(view.faults, Contains(HasSubstr("a bore in mm of 0 cannot be")));
  EXPECT_EQ(view.run.parts[3].bore_mm, 0);
  EXPECT_FALSE(view.at_rest.flows());
}

TEST_F(Runs, ALoopInTheTeesIsSaidAndKeptAsTyped) {
  const auto host = saved(sink("first")).run;
  auto second = sink("second");
  second.joins = model::RunJoin{host.id, 2};
  const auto joined = saved(second).run;
  auto round = host;
  round.joins = model::RunJoin{joined.id, 2};
  const RunView& view = saved(round);
  EXPECT_THAT(view.faults, Contains(HasSubstr("The tees go round in a loop")));
  EXPECT_THAT(session_.snapshot().water.find(joined.id)->faults, Contains(HasSubstr("go round in a loop")));
  EXPECT_EQ(view.run.joins, round.joins);
  EXPECT_FALSE(view.together_at_rest);
}

TEST_F(Runs, APumpCurveThatRisesIsSaidAndKeptAsTyped) {
  auto run = sink();
  run.parts = {part("pump-shower-19"), part("hose-19", 1500)};
  run.parts[0].curve = "3 m 0; 4 m 20; 0 m 60";
  const RunView& view = saved(run);
  EXPECT_THAT(view.faults,
              Contains(HasSubstr("The pump curve rises: 3000 mm at 0.0 L/min, but 4000 mm at 20.0 L/min")));
  EXPECT_EQ(view.run.parts[0].curve, "3 m 0; 4 m 20; 0 m 60");
}

TEST_F(Runs, ARiseHigherThanTheHeadSaysSo) {
  auto run = sink();
  run.outlet_height_mm = -400;
  run.basin_depth_mm = 100;
  EXPECT_THAT(saved(run).at_rest.why_not, HasSubstr("the run climbs 160 mm above the water in the fixture"));
  run.parts = {part("pump-shower-19"), part("hose-19", 9000), part("hose-19", 9000)};
  run.parts[0].curve = "0 m 40 L/min; 2 m 0";
  run.parts[1].rise_mm = 5000;
  EXPECT_THAT(saved(run).at_rest.why_not, HasSubstr("which lifts 2000 mm at most"));
}

// Two bowls on one hose: each brings less than alone, and together more than either.
TEST_F(Runs, TwoBowlsOnOneTeeFlowTogether) {
  const auto host = saved(sink("left bowl")).run;
  auto second = sink("right bowl");
  second.parts.resize(2);
  second.joins = model::RunJoin{host.id, 2};
  const auto id = must(session_.save_run(second));
  const auto& water = session_.snapshot().water;
  const RunView &left = *water.find(host.id), &right = *water.find(id);
  ASSERT_TRUE(left.together_at_rest && right.together_at_rest);
  EXPECT_LT(left.together_at_rest->lpm, left.at_rest.lpm);
  EXPECT_LT(right.together_at_rest->lpm, right.at_rest.lpm);
  EXPECT_NEAR(left.together_at_rest->opening_lpm, left.together_at_rest->lpm + right.together_at_rest->lpm,
              1e-6);
  EXPECT_GT(left.together_at_rest->opening_lpm, left.at_rest.lpm);
  EXPECT_LT(left.together_at_rest->low_lpm, left.together_at_rest->lpm);
  EXPECT_THAT(left.together_at_rest->text, HasSubstr("While right bowl runs too"));
}

// A bilge pump teed into a sink's hose behind a narrow fitting: the bowl fills.
TEST_F(Runs, APumpTeedIntoASinkPushesWaterUp) {
  auto fitting = session_.snapshot().openings.front().fitting.value_or(model::Fitting{});
  fitting.opening = test::id_of(session_);
  fitting.nominal_size = "1/2 in";
  must(session_.save_fitting(fitting));
  const auto host = saved(sink("sink")).run;
  model::Run pump;
  pump.opening = host.opening;
  pump.name = "bilge pump";
  pump.outlet_height_mm = -300;
  pump.joins = model::RunJoin{host.id, 2};
  pump.parts = {part("pump-bilge-7500"), part("hose-38", 1500)};
  const auto id = must(session_.save_run(pump));
  const RunView& view = *session_.snapshot().water.find(host.id);
  ASSERT_TRUE(view.together_at_rest);
  EXPECT_LT(view.together_at_rest->lpm, 0);
  EXPECT_THAT(view.together_at_rest->text, HasSubstr("water is pushed back up into this fixture"));
  EXPECT_GT(session_.snapshot().water.find(id)->together_at_rest->lpm, 0);
}

TEST_F(Runs, ARunThatLeavesElsewhereThanItsHostIsSaid) {
  const auto host = saved(sink("host")).run;
  model::Opening other;
  other.tag = "S-09";
  auto second = sink("lost");
  second.opening = must(session_.save_opening(other));
  second.joins = model::RunJoin{host.id, 2};
  EXPECT_THAT(saved(second).faults, Contains(HasSubstr("leaves by another opening than this run")));
}

// Situation: a drain 100 mm above the water at rest, 1200 mm off the centreline; at 30 degrees 693 mm of rise
// put it 593 mm under (closed form).
TEST_F(Runs, TheSectionSaysWhetherItIsUnderAndWhetherTheSinkCanFlood) {
  auto vessel = session_.snapshot().vessel.value_or(model::Vessel{});
  vessel.heel_deg = 30;
  vessel.loaded_sinkage_mm = 0;
  must(session_.save_vessel(vessel));
  auto opening = session_.snapshot().openings.front().opening;
  opening.height_mm = 100;
  opening.half_breadth_mm = 1200;
  must(session_.save_opening(opening));
  auto run = sink();
  run.from_centreline_mm = 760;
  const auto id = must(session_.save_run(run));
  const auto said = [&] {
    const auto& snapshot = session_.snapshot();
    std::string all;
    for (const auto& s : section_of(snapshot, snapshot.openings.front(), snapshot.water.find(id)).words)
      all += s + "\n";
    return all;
  };
  EXPECT_THAT(said(), HasSubstr("100 mm above the water at rest, but goes under at 30° heel: 593 mm under"));
  EXPECT_THAT(said(), HasSubstr("seacock"));
  EXPECT_THAT(said(),
              HasSubstr("Can sink flood through it? Hardly, but it is close."));  // 433 - 380 = 53 mm
  run.id = id;
  run.from_centreline_mm = 1200;  // 433 - 600: under
  must(session_.save_run(run));
  EXPECT_THAT(said(), HasSubstr("Can sink flood through it? Yes."));
  run.from_centreline_mm = 0;
  must(session_.save_run(run));
  EXPECT_THAT(said(), HasSubstr("Can sink flood through it? No."));
}

// 1000 random runs: every one is solved or says why not; none runs away.
TEST(RandomRuns, EverySingleOneIsSolvedOrSaysWhyNot) {
  const auto many = test::random_runs(1000, 1957);
  const auto tables = must(rules::Tables::load_shipped());
  const auto stock = must(rules::Stock::load_shipped());
  const WaterView water = water_of(many.facts(tables, stock));
  ASSERT_EQ(water.runs.size(), 1000U);
  int flowing = 0, not_flowing = 0, together = 0;
  for (const auto& run : water.runs) {
    for (const FlowView* flow : {&run.at_rest, &run.heeled}) {
      if (!flow->flows()) {
        EXPECT_NE(flow->why_not, "");
        ++not_flowing;
        continue;
      }
      ++flowing;
      EXPECT_TRUE(std::isfinite(flow->lpm) && flow->lpm >= 0 && flow->lpm < 5000) << flow->lpm;
      EXPECT_LE(flow->low_lpm, flow->lpm);
      EXPECT_GE(flow->high_lpm, flow->lpm);
    }
    if (!run.together_at_rest) continue;
    EXPECT_TRUE(run.together_at_rest->worked_out) << run.together_at_rest->text;
    EXPECT_TRUE(std::isfinite(run.together_at_rest->lpm));
    ++together;
  }
  EXPECT_GT(flowing, 500);
  EXPECT_GT(not_flowing, 20);
  EXPECT_GT(together, 100);
}

class DemoRuns : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new test::TempFolder;
    must(make_demo(*folder_ / "demo", nullptr));
    session_ = new Session(must(Session::open(*folder_ / "demo.spile", true)));
  }
  static void TearDownTestSuite() {
    delete session_;
    delete folder_;
  }
  static const WaterView& water() { return session_->snapshot().water; }
  static test::TempFolder* folder_;
  static Session* session_;
};
test::TempFolder* DemoRuns::folder_ = nullptr;
Session* DemoRuns::session_ = nullptr;

TEST_F(DemoRuns, HaveAMismatchOfEachKind) {
  std::vector<rules::Fit> found;
  for (const auto& run : water().runs)
    for (const auto& joint : run.match.joints) found.push_back(joint.fit);
  for (const auto fit : {rules::Fit::Good, rules::Fit::Poor, rules::Fit::Stretched, rules::Fit::Size,
                         rules::Fit::Family, rules::Fit::Form})
    EXPECT_THAT(found, Contains(fit)) << rules::label(fit);
  EXPECT_TRUE(std::any_of(water().runs.begin(), water().runs.end(), [](const RunView& r) {
    return !r.match.size_note.empty();
  })) << "one is too small for its service";
}

TEST_F(DemoRuns, HaveADangerousSiphonAndOneThatIsRight) {
  const auto& runs = water().runs;
  EXPECT_TRUE(std::any_of(runs.begin(), runs.end(), [](const RunView& r) {
    return r.back_heeled && r.back_heeled->answer == hydraulics::Backflow::Siphons &&
           r.standing == rules::Standing::Act;
  }));
  EXPECT_TRUE(std::any_of(runs.begin(), runs.end(), [](const RunView& r) {
    return r.match.all_match && r.standing == rules::Standing::Good;
  }));
}

TEST_F(DemoRuns, HaveTwoThatShareATee) {
  EXPECT_EQ(std::count_if(water().runs.begin(), water().runs.end(),
                          [](const RunView& r) { return r.together_at_rest && r.together_heeled; }),
            2);
}

}  // namespace
}  // namespace spile::app
