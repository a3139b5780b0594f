// The photo in hand: zoom, pan, tools, points placed by mouse and by keyboard, live results, taking back.
// Pictures and their truth: tests/scenes/demo_pictures.json.
#include <gmock/gmock.h>

#include <cmath>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

using model::Method;
using model::Quantity;

class BenchTest : public WindowTest {
 protected:
  void SetUp() override {
    make_opening();
    take_in("s01-hole-2026.jpg");
    ASSERT_EQ(window().desk().bench().load, BenchState::Load::Ready);
  }
  const BenchState& bench() { return window().desk().bench(); }
  ImVec2 canvas() { return window().middle_of("bench.canvas"); }
  // Where a picture point is on the screen, by the two ends of the handles' known positions.
  // Points of the rim between its handles: on a handle, a click takes hold of it instead of placing a new
  // point.
  std::vector<ImVec2> rim_on_screen(int count) {
    window().key(Key::R);
    std::vector<ImVec2> handles;
    ImVec2 centre(0, 0);
    for (int i = 0; i < 6; ++i) {
      handles.push_back(window().middle_of("bench.handle." + std::to_string(i)));
      centre = {centre.x + handles.back().x / 6, centre.y + handles.back().y / 6};
    }
    std::vector<ImVec2> rim;
    for (int i = 0; i < count; ++i) {
      const ImVec2 a = handles[static_cast<std::size_t>(i * 6 / count)];
      const ImVec2 b = handles[static_cast<std::size_t>((i * 6 / count + 1) % 6)];
      const float out = 1 / std::cos(0.5236F);  // from the chord's middle to the arc, at 60 degrees a chord
      rim.push_back(
          {centre.x + out * ((a.x + b.x) / 2 - centre.x), centre.y + out * ((a.y + b.y) / 2 - centre.y)});
    }
    return rim;
  }
};

TEST_F(BenchTest, WheelZoomsAroundTheCursorAndKeysComeBack) {
  Driver& w = window();
  w.key(Key::R);
  const ImVec2 before = w.middle_of("bench.handle.0");
  w.wheel(before, 3);
  const ImVec2 after = w.middle_of("bench.handle.0");
  EXPECT_NEAR(after.x, before.x, 1.5);
  EXPECT_NEAR(after.y, before.y, 1.5);
  const float spread = std::abs(w.middle_of("bench.handle.3").x - after.x);
  w.key(Key::Digit0);
  EXPECT_LT(std::abs(w.middle_of("bench.handle.3").x - w.middle_of("bench.handle.0").x), spread);
}

TEST_F(BenchTest, DragMovesThePhoto) {
  Driver& w = window();
  w.key(Key::Digit1);
  w.key(Key::R);
  const ImVec2 before = w.middle_of("bench.handle.0");
  w.key(Key::R);
  w.drag(canvas(), {canvas().x + 40, canvas().y - 25});
  w.key(Key::R);
  EXPECT_NEAR(w.middle_of("bench.handle.0").x - before.x, 40, 1.5);
  EXPECT_NEAR(w.middle_of("bench.handle.0").y - before.y, -25, 1.5);
}

TEST_F(BenchTest, ArrowsMoveThePhotoWithoutAMouse) {
  Driver& w = window();
  w.key(Key::Digit1);
  w.key(Key::Digit2, true);
  w.frame(2);
  w.key(Key::R);
  const ImVec2 before = w.middle_of("bench.handle.0");
  w.key(Key::R);
  w.key(Key::Right);
  w.key(Key::R);
  EXPECT_LT(w.middle_of("bench.handle.0").x, before.x - 10);
}

TEST_F(BenchTest, ThreePointsMakeARimAndCtrlZTakesThemBack) {
  Driver& w = window();
  const auto rim = rim_on_screen(3);
  for (const ImVec2 p : rim) w.click(p);
  w.settle();
  ASSERT_EQ(bench().draft.rim.size(), 3U);
  ASSERT_TRUE(bench().report);
  ASSERT_FALSE(bench().report->refused) << bench().report->refused->reason;
  EXPECT_TRUE(bench().by_hand);
  EXPECT_NEAR(bench().report->holes.front().diameter_mm, 35.2, 0.03 * 35.2);
  EXPECT_EQ(w.desk().undo_name(), "Place rim point");
  for (int i = 3; i > 0; --i) {
    EXPECT_EQ(bench().draft.rim.size(), static_cast<std::size_t>(i));
    w.key(Key::Z, true);
  }
  w.settle();
  EXPECT_TRUE(bench().draft.rim.empty());
  EXPECT_FALSE(bench().by_hand);
  w.key(Key::Z, true, true);
  EXPECT_EQ(bench().draft.rim.size(), 1U);
}

TEST_F(BenchTest, DraggingAPointGivesANewResultAndOneStep) {
  Driver& w = window();
  const auto rim = rim_on_screen(3);
  w.click("bench.snap");
  for (const ImVec2 p : rim) w.click(p);
  w.settle();
  ASSERT_TRUE(bench().report);
  ASSERT_FALSE(bench().report->refused) << bench().report->refused->reason;
  const double before = bench().report->holes.front().diameter_mm;
  const ImVec2 out(rim[1].x - (rim[0].x + rim[2].x) / 2, rim[1].y - (rim[0].y + rim[2].y) / 2);
  const float length = std::hypot(out.x, out.y);
  w.drag(w.middle_of("bench.rim.1"), {rim[1].x + 12 * out.x / length, rim[1].y + 12 * out.y / length}, 12);
  w.settle();
  EXPECT_EQ(w.desk().undo_name(), "Move rim point");
  ASSERT_TRUE(bench().report);
  ASSERT_FALSE(bench().report->refused) << bench().report->refused->reason;
  EXPECT_GT(std::abs(bench().report->holes.front().diameter_mm - before), 0.2);
  w.key(Key::Z, true);
  w.settle();
  ASSERT_TRUE(bench().report && !bench().report->refused);
  EXPECT_NEAR(bench().report->holes.front().diameter_mm, before, 1e-6);
}

TEST_F(BenchTest, EscapePutsTheResultAsideAndTheRecordStays) {
  Driver& w = window();
  const double recorded = measured("P-01", Quantity::HoleDiameter).value;
  for (const ImVec2 p : rim_on_screen(3)) w.click({p.x + 12, p.y + 9});
  w.settle();
  w.key(Key::Escape);
  w.settle();
  EXPECT_TRUE(bench().draft.rim.empty());
  EXPECT_FALSE(bench().report);
  EXPECT_EQ(bench().tool, Tool::Look);
  EXPECT_DOUBLE_EQ(measured("P-01", Quantity::HoleDiameter).value, recorded);
  EXPECT_EQ(measured("P-01", Quantity::HoleDiameter).method, Method::PhotoAuto);
}

TEST_F(BenchTest, EscapeWhileItIsMeasuredPutsTheAnswerAsideToo) {
  Driver& w = window();
  w.desk().apply(DiscardResult{});
  w.desk().apply(MeasurePhoto{});
  ASSERT_TRUE(bench().measuring);
  w.key(Key::Escape);
  EXPECT_FALSE(bench().measuring);
  w.settle();
  EXPECT_FALSE(bench().report);
}

TEST_F(BenchTest, PointsCanBePlacedWithTheKeyboardAlone) {
  Driver& w = window();
  w.key(Key::R);
  w.frame(2);
  for (int corner = 0; corner < 3; ++corner) {
    for (int i = 0; i < 6; ++i) w.key(corner == 0 ? Key::Left : corner == 1 ? Key::Right : Key::Down);
    w.key(Key::Space);
  }
  ASSERT_EQ(bench().draft.rim.size(), 3U);
  EXPECT_NE(bench().draft.rim[0].x, bench().draft.rim[1].x);
  // Space over a point picks it up, the arrows carry it, Space puts it down.
  const auto before = bench().draft.rim[2];
  w.key(Key::Space);
  w.key(Key::Down);
  w.key(Key::Space);
  EXPECT_GT(bench().draft.rim[2].y, before.y);
  EXPECT_EQ(bench().draft.rim.size(), 3U);
  w.key(Key::Backspace);
  EXPECT_EQ(bench().draft.rim.size(), 2U);
}

TEST_F(BenchTest, KnownLengthGivesTheScale) {
  Driver& w = window();
  const double by_card = measured("P-01", Quantity::HoleDiameter).value;
  const auto rim = rim_on_screen(2);  // two opposite points: a diameter of the hole
  w.key(Key::S);
  w.click(rim[0]);
  w.click(rim[1]);
  w.settle();
  ASSERT_TRUE(w.sees("bench.scale_length"));
  w.fill("bench.scale_length", "70.4 mm");  // twice what it is
  w.settle();
  ASSERT_TRUE(bench().draft.scale_mm);
  EXPECT_DOUBLE_EQ(*bench().draft.scale_mm, 70.4);
  w.key(Key::R);
  for (const ImVec2 p : {rim[0], rim[1]}) w.click(p);
  w.click({(rim[0].x + rim[1].x) / 2 + (rim[1].y - rim[0].y) / 2,
           (rim[0].y + rim[1].y) / 2 - (rim[1].x - rim[0].x) / 2});
  w.settle();
  ASSERT_TRUE(bench().report);
  ASSERT_FALSE(bench().report->refused) << bench().report->refused->reason;
  // Two points do not tell the camera's tilt: the interval has to own up to it.
  const auto& hole = bench().report->holes.front();
  EXPECT_NEAR(hole.diameter_mm, 2 * by_card, hole.u95_mm);
  EXPECT_LE(hole.u95_mm, 0.2 * hole.diameter_mm);
  EXPECT_EQ(bench().report->reference->kind, "points");
}

TEST_F(BenchTest, ALengthThatIsNoneIsSaidAndNotUsed) {
  Driver& w = window();
  const auto rim = rim_on_screen(2);
  w.key(Key::S);
  w.click(rim[0]);
  w.click(rim[1]);
  w.settle();
  w.fill("bench.scale_length", "a hand's breadth");
  w.settle();
  EXPECT_FALSE(bench().draft.scale_mm);
  EXPECT_FALSE(bench().scale_trouble.empty());
}

TEST_F(BenchTest, LoupeShowsThePixelsAroundTheCursor) {
  Driver& w = window();
  w.move_to(canvas());
  w.frame();
  EXPECT_FALSE(w.sees("bench.loupe"));
  w.key(Key::L);
  w.frame();
  EXPECT_TRUE(w.sees("bench.loupe"));
  w.key(Key::L);
  w.key(Key::R);
  w.move_to(canvas());
  w.frame();
  EXPECT_TRUE(w.sees("bench.loupe")) << "a tool in hand brings its loupe";
}

TEST_F(BenchTest, MeasuringAgainByItselfIsAnOfferNotARecord) {
  Driver& w = window();
  const auto standing = measured("P-01", Quantity::HoleDiameter);
  w.key(Key::M);
  w.settle();
  ASSERT_TRUE(bench().report);
  EXPECT_FALSE(bench().by_hand);
  EXPECT_EQ(measured("P-01", Quantity::HoleDiameter).id, standing.id);
  w.click("bench.accept");
  w.settle();
  EXPECT_NE(measured("P-01", Quantity::HoleDiameter).id, standing.id);
}

class EdgeTest : public WindowTest {
 protected:
  // Where a picture point is while the whole photo is shown.
  ImVec2 on_screen(double x, double y) {
    const auto& canvas = window().item("bench.canvas");
    const BenchState& bench = window().desk().bench();
    const double width = static_cast<double>(canvas.max.x - canvas.min.x);
    const double height = static_cast<double>(canvas.max.y - canvas.min.y);
    const double zoom = std::min(width / bench.width_px, height / bench.height_px);
    return {static_cast<float>(static_cast<double>(canvas.min.x) + width / 2 +
                               (x - (bench.width_px - 1) / 2.0) * zoom),
            static_cast<float>(static_cast<double>(canvas.min.y) + height / 2 +
                               (y - (bench.height_px - 1) / 2.0) * zoom)};
  }
};

// How true the engine's answer is, is tested in tests/vision; here it has to be the answer to the points that
// were pressed.
TEST_F(EdgeTest, TwoLinesOnACutEdgeGiveTheThickness) {
  make_opening();
  take_in("s05-edge-2026.jpg");
  Driver& w = window();
  const BenchState& bench = w.desk().bench();
  w.key(Key::F4);  // large, for a steady hand
  w.settle();
  w.key(Key::E);
  w.frame(2);
  const std::vector<model::PixelPoint> ends = {{149.5, 330}, {151.5, 660}, {287, 330}, {290, 660}};
  for (const auto& p : ends) w.click(on_screen(p.x, p.y));
  w.settle();
  ASSERT_EQ(bench.draft.edge.size(), 4U);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(bench.draft.edge[i].x, ends[i].x,
                1);  // a screen pixel is a little more than one of the photo
    EXPECT_NEAR(bench.draft.edge[i].y, ends[i].y, 1);
  }
  ASSERT_TRUE(bench.report);
  ASSERT_TRUE(bench.report->edge) << (bench.report->refused ? bench.report->refused->reason : "");
  EXPECT_TRUE(bench.by_hand);
  EXPECT_NE(bench.report->edge->layers.size(), 1U) << "a thickness alone says nothing of layers";
  const double thickness = bench.report->edge->thickness_mm;
  EXPECT_GT(thickness, 10);
  EXPECT_LT(thickness, 30);
  w.key(Key::Enter, true);
  w.settle();
  const auto first = measured("P-01", Quantity::LaminateThickness);
  EXPECT_EQ(first.method, Method::PhotoByHand);
  // Taken up again from the record: the lines can be dragged, and what comes out supersedes.
  w.key(Key::E);
  w.frame(2);
  ASSERT_TRUE(w.sees("bench.handle.3"));
  const ImVec2 from = w.middle_of("bench.handle.0");
  w.drag(from, {from.x - 30, from.y});
  w.drag(w.middle_of("bench.edge.0"), from);
  w.settle();
  ASSERT_TRUE(bench.report && bench.report->edge);
  w.key(Key::Enter, true);
  w.settle();
  EXPECT_NE(measured("P-01", Quantity::LaminateThickness).id, first.id);
  EXPECT_NEAR(measured("P-01", Quantity::LaminateThickness).value, thickness, 0.03 * thickness);
}

TEST_F(EdgeTest, WhatIsLookedForCanBeSaid) {
  make_opening();
  take_in("s01-hole-2026.jpg");
  Driver& w = window();
  w.click("bench.how");
  w.frame(2);
  w.click("how.subject/edge");
  w.settle();
  w.key(Key::Escape);
  w.frame(2);
  EXPECT_FALSE(w.sees("how.subject/edge")) << "Escape closes the list";
  ASSERT_TRUE(w.desk().bench().report) << "and nothing else";
  EXPECT_TRUE(w.desk().bench().report->refused) << "there is a hole and no edge";
  w.click("bench.how");
  w.frame(2);
  w.click("how.subject/hole");
  w.click("how.scale/card");
  w.settle();
  ASSERT_FALSE(w.desk().bench().report->refused);
  EXPECT_NEAR(w.desk().bench().report->holes.front().diameter_mm, 35.2, 0.4);
}

TEST_F(EdgeTest, ACardOfOtherSizesIsTypedIn) {
  make_opening();
  take_in("s01-hole-2026.jpg");
  Driver& w = window();
  w.click("bench.how");
  w.frame(2);
  // Twice as large all over: what lies beside it is twice as large too.
  w.fill("how.card.marker", "40 mm");
  w.fill("how.card.width", "140 mm");
  w.fill("how.card.height", "90 mm");
  w.click("how.card.use");
  w.settle();
  ASSERT_TRUE(w.desk().bench().report);
  ASSERT_FALSE(w.desk().bench().report->refused);
  EXPECT_NEAR(w.desk().bench().report->holes.front().diameter_mm, 2 * 35.2, 0.8);
}

TEST_F(EdgeTest, ARoundReferenceIsTypedIn) {
  make_opening();
  take_in("s01-hole-2026.jpg");
  Driver& w = window();
  w.click("bench.how");
  w.frame(2);
  w.fill("how.disc", "23.25 mm");
  w.click("how.disc.use");
  w.settle();
  const auto* coin = std::get_if<vision::DiscReference>(&w.desk().bench().draft.reference);
  ASSERT_NE(coin, nullptr);
  EXPECT_DOUBLE_EQ(coin->diameter_mm, 23.25);
  EXPECT_FALSE(coin->flange);
  w.fill("how.flange", "72 mm");
  w.click("how.flange.use");
  w.settle();
  const auto* flange = std::get_if<vision::DiscReference>(&w.desk().bench().draft.reference);
  ASSERT_NE(flange, nullptr);
  EXPECT_DOUBLE_EQ(flange->diameter_mm, 72);
  EXPECT_TRUE(flange->flange);
}

}  // namespace
}  // namespace spile::gui
