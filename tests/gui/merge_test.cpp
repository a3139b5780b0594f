// Somebody's copy of the logbook brought in through the window.
#include <gmock/gmock.h>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

namespace fs = std::filesystem;
using testing::SizeIs;

class MergeTest : public WindowTest {
 protected:
  // A copy of the open logbook, changed by somebody else.
  fs::path their_copy(const std::function<void(app::Session&)>& change) {
    const auto mine = window().logbook().folder, theirs = folder() / "stern.spile";
    fs::copy(mine, theirs, fs::copy_options::recursive);
    auto session = app::Session::open(theirs);
    if (!session) throw std::runtime_error(session.error().sentence());
    change(*session);
    return theirs;
  }
  void choose_copy(const fs::path& theirs) {
    window().menu("Logbook", "logbook.merge");
    window().click("merge.choose");
    window().fill("chooser.path", theirs.parent_path().string());
    window().frame(2);
    window().click("chooser.entry." + theirs.filename().string());
    window().settle();
  }
  static void set_height(app::Session& session, double mm) {
    auto opening = session.snapshot().find("P-01")->opening;
    opening.height_mm = mm;
    ASSERT_TRUE(session.save_opening(opening));
  }
};

TEST_F(MergeTest, BringsInWhatTheOtherRecordedAndUndoTakesItBack) {
  make_opening();
  const auto theirs = their_copy([](app::Session& session) {
    model::Opening added;
    added.tag = "S-09";
    ASSERT_TRUE(session.save_opening(added));
  });
  choose_copy(theirs);
  EXPECT_FALSE(window().sees("merge.open"));
  window().click("merge.carry_out");
  window().settle();
  EXPECT_EQ(window().state().page, Page::Desk);
  EXPECT_THAT(window().logbook().openings, SizeIs(2));
  EXPECT_EQ(window().logbook().undo_name, "Merge stern.spile");
  window().key(Key::Z, true);
  window().settle();
  EXPECT_THAT(window().logbook().openings, SizeIs(1));
}

TEST_F(MergeTest, WhatBothChangedIsChosenFirst) {
  make_opening();
  const auto theirs = their_copy([](app::Session& session) { set_height(session, -120); });
  window().fill("record.height", "-90 mm");
  window().settle();
  ASSERT_EQ(window().opening("P-01").opening.height_mm, -90);
  choose_copy(theirs);
  EXPECT_TRUE(window().sees("merge.open"));
  EXPECT_FALSE(window().enabled("merge.carry_out"));
  window().click("merge.P-01: height (mm)/theirs");
  window().settle();
  EXPECT_FALSE(window().sees("merge.open"));
  window().click("merge.carry_out");
  window().settle();
  EXPECT_EQ(window().opening("P-01").opening.height_mm, -120);
}

TEST_F(MergeTest, ALogbookThatIsNoCopySaysSo) {
  make_opening();
  choose_copy(window().logbook().folder);
  EXPECT_FALSE(window().sees("merge.carry_out"));
  ASSERT_FALSE(window().state().messages.empty());
  EXPECT_THAT(window().state().messages.back().text, testing::HasSubstr("with itself"));
}

}  // namespace
}  // namespace spile::gui
