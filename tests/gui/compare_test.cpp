// Two photos of one opening from two surveys: found changes, linked views, wipe, blink, a crack traced by
// hand and kept. Truth: the recipes the demo's pictures were drawn from (tests/scenes/demo_pictures.json).
#include <gmock/gmock.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <numbers>

#include "tests/gui/fixture.hpp"
#include "tests/scenes/recipe.hpp"

namespace spile::gui {
namespace {

using vision::Season;

constexpr const char* kEarlier = "p02-hole-2025.jpg";
constexpr const char* kLater = "p02-hole-2026.jpg";

scenes::Recipe recipe_of(const std::string& file) {
  std::ifstream in(std::filesystem::path(SPILE_SOURCE_DIR) / "tests/scenes/demo_pictures.json");
  const auto all = scenes::read_recipes({std::istreambuf_iterator<char>(in), {}});
  for (const auto& recipe : *all)
    if (recipe.file == file) return recipe;
  throw std::runtime_error("no recipe of " + file);
}

class CompareTest : public WindowTest {
 protected:
  void two_surveys(const std::string& earlier = kEarlier, const std::string& later = kLater) {
    make_opening();
    take_in(earlier);
    window().desk().apply(BeginSurvey{});
    window().settle();
    window().desk().apply(ShowPage{Page::Desk});
    window().frame(2);
    take_in(later);
  }
  void compare() {
    window().key(Key::C);
    window().settle();
    ASSERT_EQ(window().state().page, Page::Compare);
  }
  const CompareState& compared() { return window().desk().comparing().state(); }

  // Where a pixel of the later photo is on the screen while the whole photo is shown.
  ImVec2 on_screen(const char* canvas, model::PixelPoint p) {
    const auto& item = window().item(canvas);
    const auto& info = compared().shown[1]->info();
    const double w = static_cast<double>(item.max.x - item.min.x),
                 h = static_cast<double>(item.max.y - item.min.y);
    const double zoom = std::min(w / info.width_px, h / info.height_px);
    return {item.min.x + static_cast<float>(w / 2 + (p.x - (info.width_px - 1) / 2.0) * zoom),
            item.min.y + static_cast<float>(h / 2 + (p.y - (info.height_px - 1) / 2.0) * zoom)};
  }
  // Clicks on a point of the hull, mm as the recipe has them.
  void trace(Season season, double x, double y) {
    const bool earlier = season == Season::Earlier;
    const scenes::Pixel seen = scenes::project(recipe_of(earlier ? kEarlier : kLater).camera, x, y, 0);
    const auto drawn = compared().drawn_at(season, {seen.x, seen.y});
    ASSERT_TRUE(drawn);
    window().click(on_screen(earlier ? "compare.earlier" : "compare.later", *drawn));
  }
  void trace_crack(Season season, double length_mm) {
    const scenes::Crack crack = recipe_of(kLater).scene.cracks.back();
    const double a = crack.direction_deg * std::numbers::pi / 180;
    // A point beside another one would take hold of it: the short crack is traced by its ends.
    const std::vector<double> shares = length_mm < 15 ? std::vector{0.0, 1.0} : std::vector{0.0, 0.5, 1.0};
    for (const double share : shares)
      trace(season, crack.x + share * length_mm * std::cos(a), crack.y + share * length_mm * std::sin(a));
  }
};

TEST_F(CompareTest, FindsTheGrownCrackAndStain) {
  two_surveys();
  EXPECT_TRUE(window().sees("record.compare"));
  compare();
  ASSERT_EQ(compared().work, CompareState::Work::Done);
  ASSERT_TRUE(compared().aligned()) << compared().comparison->refused->reason;
  EXPECT_LE(compared().comparison->residual_px, 1.0);
  bool crack = false, stain = false;
  for (const auto& change : compared().comparison->changes) {
    crack = crack || change.kind == "crack";
    if (change.kind != "stain") continue;
    stain = true;
    // A disc of 12 mm, its edge uneven; it was one of 6 mm.
    EXPECT_NEAR(*change.area_mm2, std::numbers::pi * 36, 0.15 * std::numbers::pi * 36);
    EXPECT_TRUE(change.earlier_area_mm2);
  }
  EXPECT_TRUE(crack);
  EXPECT_TRUE(stain);
  EXPECT_TRUE(window().sees("compare.change.0"));
  EXPECT_TRUE(window().sees("compare.summary"));
  // Back again by the same key.
  window().key(Key::C);
  window().frame(2);
  EXPECT_EQ(window().state().page, Page::Desk);
}

TEST_F(CompareTest, ZoomAndPanOfOnePhotoAreThoseOfTheOther) {
  two_surveys();
  compare();
  Driver& w = window();
  const ImVec2 before = w.middle_of("compare.change_at.0");
  w.wheel(w.middle_of("compare.earlier"), 4);
  w.frame(2);
  const ImVec2 zoomed = w.middle_of("compare.change_at.0");  // as drawn last: in the later photo
  EXPECT_GT(std::hypot(zoomed.x - before.x, zoomed.y - before.y), 5) << "the other photo follows";
  const ImVec2 middle = w.middle_of("compare.later");
  w.drag(middle, {middle.x + 40, middle.y + 25});
  const ImVec2 panned = w.middle_of("compare.change_at.0");
  EXPECT_NEAR(panned.x - zoomed.x, 40, 1);
  EXPECT_NEAR(panned.y - zoomed.y, 25, 1);
  w.key(Key::Digit0);
  w.frame(2);
  EXPECT_NEAR(w.middle_of("compare.change_at.0").x, before.x, 1);
}

TEST_F(CompareTest, AChangeInTheListIsShownLarge) {
  two_surveys();
  compare();
  Driver& w = window();
  w.click("compare.change.0");
  w.frame(2);
  EXPECT_EQ(compared().change, 0U);
  const ImVec2 seen = w.middle_of("compare.change_at.0"), middle = w.middle_of("compare.later");
  EXPECT_LT(std::hypot(seen.x - middle.x, seen.y - middle.y), 60);
}

TEST_F(CompareTest, AWipeFollowsTheMouseAndTheKeys) {
  two_surveys();
  compare();
  Driver& w = window();
  w.key(Key::W);
  w.frame(2);
  ASSERT_EQ(compared().showing, Showing::Wipe);
  const ImVec2 handle = w.middle_of("compare.wipe_handle");
  w.drag(handle, {handle.x - 120, handle.y});
  w.frame(2);
  EXPECT_LT(compared().wipe, 0.45);
  EXPECT_NEAR(w.middle_of("compare.wipe_handle").x, handle.x - 120, 2);
  const double there = compared().wipe;
  w.key(Key::Right);
  w.frame(2);
  EXPECT_GT(compared().wipe, there);
}

TEST_F(CompareTest, BlinksAtTheRateChosenAndStopsByHand) {
  two_surveys();
  compare();
  Driver& w = window();
  w.key(Key::B);
  w.frame(2);
  ASSERT_EQ(compared().showing, Showing::Blink);
  EXPECT_TRUE(w.shell().next_alarm().has_value()) << "the window wakes to turn";
  w.click("compare.rate/two");
  w.frame(2);
  EXPECT_DOUBLE_EQ(compared().blinks_a_second, 2);
  // WCAG 2.1, 2.3.1: no more than three flashes a second, whatever is asked for.
  w.desk().apply(SetBlink{30});
  EXPECT_LE(compared().blinks_a_second, 3);
  w.click("compare.compare.flip");
  w.frame(2);
  EXPECT_TRUE(compared().blink_held);
}

TEST_F(CompareTest, ACrackTracedByHandIsKeptForBothSurveysAndUndone) {
  two_surveys();
  compare();
  Driver& w = window();
  w.key(Key::T);
  w.frame(2);
  ASSERT_TRUE(compared().tracing);
  trace_crack(Season::Earlier, 9);
  trace_crack(Season::Later, 22);
  w.frame(2);
  ASSERT_TRUE(compared().traced[0]);
  ASSERT_TRUE(compared().traced[1]);
  // Between known points of the hull: 9 and 22 mm by the recipe.
  EXPECT_LE(std::abs(compared().traced[0]->length_mm - 9), compared().traced[0]->u95_mm);
  EXPECT_LE(std::abs(compared().traced[1]->length_mm - 22), compared().traced[1]->u95_mm);
  EXPECT_TRUE(w.sees("compare.growth"));
  // The last point is taken back and put again.
  EXPECT_EQ(w.desk().undo_name(), "Place point of a crack");
  w.key(Key::Z, true);
  EXPECT_EQ(compared().draft.points[1].size(), 2U);
  w.key(Key::Z, true, true);
  EXPECT_EQ(compared().draft.points[1].size(), 3U);
  w.click("compare.keep");
  w.settle();
  const auto kept = [&] {
    std::vector<model::Measurement> out;
    for (const auto& m : w.opening("P-01").measurements)
      if (m.quantity == model::Quantity::CrackLength) out.push_back(m);
    return out;
  };
  const auto both = kept();
  ASSERT_EQ(both.size(), 2U);
  EXPECT_NE(both[0].survey, both[1].survey);
  for (const auto& m : both) {
    EXPECT_EQ(m.method, model::Method::PhotoByHand);
    ASSERT_TRUE(m.trace);
    EXPECT_EQ(m.trace->by_hand.size(), m.value < 15 ? 2U : 3U);
    EXPECT_GT(m.u95, 0);
    EXPECT_FALSE(m.budget.empty());
  }
  w.frame(2);
  EXPECT_TRUE(w.sees("compare.kept.later"));
  w.key(Key::Z, true);
  w.settle();
  EXPECT_TRUE(kept().empty());
  EXPECT_FALSE(w.sees("compare.kept.later"));
}

TEST_F(CompareTest, WhatCannotBeComparedIsSaidInWordsAndStillSeen) {
  two_surveys("c01-hole-2026.jpg", kLater);
  compare();
  EXPECT_TRUE(window().sees("compare.refused"));
  ASSERT_TRUE(compared().comparison && compared().comparison->refused);
  EXPECT_THAT(compared().comparison->refused->reason, testing::HasSubstr("earlier"));
  EXPECT_TRUE(window().sees("compare.earlier"));
  window().key(Key::W);
  window().frame(2);
  EXPECT_EQ(compared().showing, Showing::SideBySide) << "one over the other would mean nothing";
}

TEST_F(CompareTest, IsStoppedByHand) {
  two_surveys();
  Driver& w = window();
  w.key(Key::C);
  w.desk().apply(StopComparing{});
  w.settle();
  EXPECT_FALSE(compared().aligned());
  EXPECT_NE(compared().work, CompareState::Work::Running);
}

TEST_F(CompareTest, NeedsPhotosOfTwoSurveys) {
  make_opening();
  take_in(kLater);
  EXPECT_FALSE(window().sees("record.compare"));
  window().key(Key::C);
  window().frame(2);
  EXPECT_EQ(window().state().page, Page::Desk);
}

}  // namespace
}  // namespace spile::gui
