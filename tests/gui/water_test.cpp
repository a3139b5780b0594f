// Runs and water in the window: a run begun from its template, changed part by part, joined to another,
// undone; what cannot be is said and kept; and on the demo logbook the window says what the command line
// says.
#include <gmock/gmock.h>

#include "app/cli/print_water.hpp"
#include "app/demo.hpp"
#include "app/section.hpp"
#include "app/water_words.hpp"
#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

using testing::HasSubstr;

class WaterTest : public WindowTest {
 protected:
  WaterTest() {
    options_.height = 6000;  // the whole pane in sight
    restart();
  }
  // A sink's drain below the waterline, with the run of its template.
  void make_run() {
    make_opening();
    Driver& w = window();
    w.choose("record.service", "galley-sink-drain");
    w.fill("record.height", "-140 mm");
    w.click("beside/water");
    w.settle();
    w.click("run.template");
    w.settle();
    ASSERT_EQ(w.logbook().water.runs.size(), 1U);
  }
  const app::RunView& run(std::size_t i = 0) { return window().logbook().water.runs.at(i); }
  void open_parts() {
    if (!window().sees("run.part/1")) window().click("run.parts");
    window().frame(2);
  }
};

TEST_F(WaterTest, ARunBeginsWithTheUsualParts) {
  make_run();
  Driver& w = window();
  EXPECT_TRUE(run().match.all_match);
  EXPECT_TRUE(w.reads(run().headline));
  EXPECT_TRUE(w.sees("run.line"));
  EXPECT_TRUE(w.sees("run.heights"));
  EXPECT_TRUE(w.sees("run.section"));
  w.key(Key::Z, true);
  w.settle();
  EXPECT_TRUE(w.logbook().water.runs.empty());
  EXPECT_FALSE(w.sees("run.line"));
}

TEST_F(WaterTest, APartIsAddedMeasuredTurnedAndTakenOut) {
  make_run();
  open_parts();
  Driver& w = window();
  const auto count = run().run.parts.size();
  w.choose("run.add_part", "hose-25");
  w.settle();
  ASSERT_EQ(run().run.parts.size(), count + 1);
  const std::string last = std::to_string(count + 1);
  w.fill("run.part.length/" + last, "640 mm");
  w.settle();
  EXPECT_EQ(run().run.parts.back().length_mm, 640);
  w.fill("run.part.bends/" + last, "3");
  w.settle();
  EXPECT_EQ(run().run.parts.back().bends, 3);
  w.click("run.part.turn/" + last);
  w.settle();
  EXPECT_TRUE(run().run.parts.back().turned);
  w.click("run.part.up/" + last);
  w.settle();
  EXPECT_EQ(run().run.parts[count - 1].part, "hose-25");
  EXPECT_FALSE(run().match.all_match) << "a hose before a through-hull of another size";
  w.click("run.part.take_out/" + std::to_string(count));
  w.settle();
  EXPECT_EQ(run().run.parts.size(), count);
}

TEST_F(WaterTest, WhatCannotBeIsSaidAndKept) {
  make_run();
  open_parts();
  Driver& w = window();
  w.fill("run.part.length/2", "-300 mm");
  w.settle();
  EXPECT_EQ(run().run.parts[1].length_mm, -300);
  ASSERT_FALSE(run().faults.empty());
  EXPECT_TRUE(w.reads(run().faults.front()));
  EXPECT_THAT(run().faults.front(), HasSubstr("-300 cannot be"));
}

TEST_F(WaterTest, ASecondRunIsJoinedAtATee) {
  make_run();
  Driver& w = window();
  open_parts();
  w.choose("run.add_kind", "11");  // tees
  w.choose("run.add_part", "tee-hose-38");
  w.settle();
  const auto tee = run().run.parts.size();
  w.click("run.template");
  w.settle();
  ASSERT_EQ(w.logbook().water.runs.size(), 2U);
  const auto first = run(0).run.id, second = run(1).run.id;
  w.click("run.which/" + std::to_string(second.value));
  w.settle();
  open_parts();
  w.choose("run.joins", std::to_string(first.value) + "/" + std::to_string(tee));
  w.settle();
  ASSERT_TRUE(run(1).run.joins);
  EXPECT_EQ(run(1).run.joins->run, first);
  EXPECT_EQ(run(1).run.joins->behind_part, static_cast<int>(tee) - 1);
  w.choose("run.joins", "hull");
  w.settle();
  EXPECT_FALSE(run(1).run.joins);
}

TEST_F(WaterTest, WhatTheBilgeHoldsIsTyped) {
  make_run();
  Driver& w = window();
  w.fill("bilge.sole", "420");
  w.settle();
  EXPECT_EQ(w.logbook().bilge.sole_litres, 420);
  w.fill("bilge.sole", "some");
  w.settle();
  EXPECT_EQ(w.logbook().bilge.sole_litres, 420) << "a word is no number";
}

// Every line the command line prints of a run and of an opening's flooding stands in the window.
class DemoWater : public WaterTest {
 protected:
  void SetUp() override {
    ASSERT_TRUE(app::make_demo(folder() / "demo", nullptr));
    options_.height = 20000;  // nothing is scrolled away
    restart();
    window().drop({folder() / "demo.spile"}, {400, 600});
    window().settle();
    ASSERT_TRUE(window().desk().logbook());
  }
  void expect(const std::string& text, const std::string& what) {
    EXPECT_TRUE(window().reads(text)) << what << ": " << text;
    if (window().reads(text)) ++read_;
  }
  void expect_run(const app::RunView& run) {
    const std::string name = app::run_title(run);
    expect(run.headline, name);
    for (std::size_t i = 0; i < run.placed.parts.size(); ++i) {
      expect(app::part_text(run, i), name);
      if (const auto joint = app::joint_text(run, i); !joint.empty()) expect(joint, name);
    }
    for (const auto& line : app::flow_lines(run)) expect(line, name);
    for (const auto* back : app::backflows(run)) expect(app::backflow_text(*back), name);
    for (const auto& note : run.notes) expect(note, name);
    for (const auto& remedy : run.remedies) {
      expect(app::remedy_title(remedy), name);
      for (const auto& line : app::remedy_lines(remedy)) expect(line, name);
    }
  }
  int read_ = 0;
};

std::string printed(const app::WaterView& water) {
  std::ostringstream out;
  for (const auto& run : water.runs) app::cli::print_run(out, run);
  app::cli::print_flooding(out, water);
  return out.str();
}

TEST_F(DemoWater, WindowAndCommandLineSayTheSame) {
  Driver& w = window();
  const std::string told = printed(w.logbook().water);
  w.click("beside/water");
  for (const auto& view : w.logbook().openings) {
    w.click("openings.row." + view.opening.tag);
    w.settle();
    const auto& water = w.logbook().water;
    int shown = 0;
    for (const auto& run : water.runs) {
      if (run.run.opening != view.opening.id) continue;
      if (w.sees("run.which/" + std::to_string(run.run.id.value)))
        w.click("run.which/" + std::to_string(run.run.id.value));
      w.settle();
      open_parts();
      expect_run(run);
      EXPECT_THAT(told, HasSubstr(run.headline));
      for (const auto& sentence : app::section_of(w.logbook(), view, &run).words) expect(sentence, "section");
      ++shown;
    }
    if (shown == 0)
      for (const auto& sentence : app::section_of(w.logbook(), view, nullptr).words)
        expect(sentence, "section");
    const auto* flood = water.flood_of(view.opening.id);
    ASSERT_NE(flood, nullptr);
    expect(app::flood_title(*flood, water), view.opening.tag);
    EXPECT_THAT(told, HasSubstr(app::flood_title(*flood, water)));
    for (const auto& line : app::leak_lines(*flood)) {
      expect(line, view.opening.tag);
      EXPECT_THAT(told, HasSubstr(line));
    }
  }
  // And the other way round: what the command line prints of runs is made of those same lines.
  for (const auto& run : w.logbook().water.runs) {
    for (const auto& line : app::flow_lines(run)) EXPECT_THAT(told, HasSubstr(line));
    for (const auto* back : app::backflows(run)) EXPECT_THAT(told, HasSubstr(app::backflow_text(*back)));
    for (std::size_t i = 0; i < run.placed.parts.size(); ++i)
      EXPECT_THAT(told, HasSubstr(app::joint_text(run, i)));
  }
  EXPECT_GT(read_, 150);
}

}  // namespace
}  // namespace spile::gui
