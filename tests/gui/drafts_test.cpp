// Nothing typed is lost: drafts are committed when left, when they vanish, when the person pauses.
#include "gui/drafts.hpp"

#include <gtest/gtest.h>

namespace spile::gui {
namespace {

class DraftsTest : public testing::Test {
 protected:
  Drafts::Draft& type(const std::string& text, int frame) {
    Drafts::Draft& d = drafts.field("notes#1", "stored", frame);
    d.commit = [this](const std::string& t) { kept.push_back(t); };
    d.active = true;
    d.text = text;
    d.changed_at = Drafts::Clock::now();
    return d;
  }
  Drafts drafts;
  std::vector<std::string> kept;
};

TEST_F(DraftsTest, FollowsTheRecordWhileNobodyTypes) {
  EXPECT_EQ(drafts.field("notes#1", "a", 1).text, "a");
  EXPECT_EQ(drafts.field("notes#1", "b", 2).text, "b");
}

TEST_F(DraftsTest, KeepsWhatIsTypedThoughTheRecordChanges) {
  type("half a wo", 1);
  EXPECT_EQ(drafts.field("notes#1", "changed elsewhere", 2).text, "half a wo");
}

TEST_F(DraftsTest, CommitsWhatVanishes) {
  type("gone with the selection", 1);
  drafts.sweep(2, Drafts::Clock::now());
  EXPECT_EQ(kept, std::vector<std::string>{"gone with the selection"});
}

TEST_F(DraftsTest, CommitsAfterAPauseButOnlyOnce) {
  Drafts::Draft& d = type("resting", 1);
  d.commits_on_pause = true;
  const auto now = d.changed_at;
  drafts.sweep(1, now + std::chrono::milliseconds(500));
  EXPECT_TRUE(kept.empty());
  ASSERT_TRUE(drafts.next_alarm());
  EXPECT_EQ(*drafts.next_alarm(), now + Drafts::kPause);
  drafts.sweep(1, now + Drafts::kPause);
  drafts.sweep(1, now + 2 * Drafts::kPause);
  EXPECT_EQ(kept, std::vector<std::string>{"resting"});
  EXPECT_FALSE(drafts.next_alarm());
}

TEST_F(DraftsTest, FlushCommitsWhatDiffers) {
  type("stored", 1);
  drafts.flush();
  EXPECT_TRUE(kept.empty()) << "nothing was changed";
  type("changed", 2);
  EXPECT_TRUE(drafts.unsaved());
  drafts.flush();
  EXPECT_EQ(kept, std::vector<std::string>{"changed"});
  EXPECT_FALSE(drafts.unsaved());
}

TEST_F(DraftsTest, ARefusedTextStaysUntilTheRecordMoves) {
  Drafts::Draft& d = type("12 bananas", 1);
  d.active = false;
  d.trouble = "no length";
  EXPECT_EQ(drafts.field("notes#1", "stored", 2).text, "12 bananas");
  EXPECT_EQ(drafts.field("notes#1", "14 mm", 3).text, "14 mm");
}

}  // namespace
}  // namespace spile::gui
