// The list in the window: add, select by mouse and key, find, sort, remove and bring back.
#include <gmock/gmock.h>

#include <cfloat>
#include <cmath>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

class OpeningsTest : public WindowTest {
 protected:
  void SetUp() override {
    make_opening();
    Driver& w = window();
    w.click("openings.add");
    w.settle();
    w.click("openings.add");
    w.settle();
    ASSERT_EQ(w.logbook().openings.size(), 3U);
  }
  std::string selected() { return window().desk().selected()->opening.tag; }
};

TEST_F(OpeningsTest, ANewOneIsSelectedAndItsTagWaitsToBeTyped) {
  Driver& w = window();
  EXPECT_EQ(selected(), "P-03");
  w.frame(2);
  w.key(Key::A, true);
  w.write("Bow thruster");
  w.key(Key::Enter);
  w.settle();
  EXPECT_EQ(selected(), "Bow thruster");
}

TEST_F(OpeningsTest, IsChosenByMouseAndByKeys) {
  Driver& w = window();
  w.click("openings.row.P-01");
  EXPECT_EQ(selected(), "P-01");
  w.key(Key::Down, true);
  EXPECT_EQ(selected(), "P-02");
  w.key(Key::Up, true);
  w.key(Key::Up, true);
  EXPECT_EQ(selected(), "P-01");
}

TEST_F(OpeningsTest, FindKeepsOnlyWhatMatches) {
  Driver& w = window();
  w.key(Key::F, true);
  w.frame(2);
  w.write("p-02");
  w.frame(2);
  EXPECT_TRUE(w.sees("openings.row.P-02"));
  EXPECT_FALSE(w.sees("openings.row.P-01"));
}

TEST_F(OpeningsTest, AHeadSortsByItsColumn) {
  Driver& w = window();
  w.click("openings.head.0");
  w.frame(3);
  EXPECT_TRUE(w.state().list.descending);
  EXPECT_LT(w.item("openings.row.P-03").min.y, w.item("openings.row.P-01").min.y);
}

// At the smallest size the window is laid out for, beside the scroll bar of a long list, with the arrow of
// the column that sorts.
TEST_F(OpeningsTest, EveryHeadIsReadInFull) {
  Driver& w = window();
  ASSERT_EQ(ImGui::GetIO().DisplaySize.x, 1280);
  for (int i = 0; i < 9; ++i) {
    w.click("openings.add");
    w.settle();
  }
  const ImFont& body = *ImGui::GetIO().Fonts->Fonts.front();
  const float arrow = std::floor(body.FontSize * 0.65F + ImGui::GetStyle().FramePadding.x);
  const std::vector<const char*> titles = {"Tag",          "Service", "Zone",   "Hole ⌀, mm",
                                           "Laminate, mm", "State",   "Verdict"};
  for (std::size_t i = 0; i < titles.size(); ++i) {
    const hooks::Item& head = w.item("openings.head." + std::to_string(i));
    const float text = body.CalcTextSizeA(body.FontSize, FLT_MAX, 0, titles[i]).x;
    const float room = head.max.x - head.min.x - ImGui::GetStyle().CellPadding.x;
    EXPECT_LE(text + arrow, room) << titles[i];
  }
}

TEST_F(OpeningsTest, RemovingIsUndone) {
  Driver& w = window();
  w.click("openings.row.P-02");
  w.menu("Opening", "opening.remove");
  w.settle();
  EXPECT_EQ(w.logbook().openings.size(), 2U);
  EXPECT_TRUE(w.desk().selected()) << "another one takes its place";
  w.key(Key::Z, true);
  EXPECT_EQ(w.logbook().openings.size(), 3U);
}

TEST_F(OpeningsTest, ATagThatIsTakenIsRefusedWithASentence) {
  Driver& w = window();
  w.fill("record.tag", "P-01");
  w.settle();
  EXPECT_EQ(selected(), "P-03");
  ASSERT_FALSE(w.state().messages.empty());
  EXPECT_TRUE(w.state().messages.back().problem);
  EXPECT_TRUE(w.sees("message.problem"));
  w.click("message.dismiss." + std::to_string(w.state().messages.back().id));
  w.frame(2);
  EXPECT_FALSE(w.sees("message.problem"));
}

}  // namespace
}  // namespace spile::gui
