// Photos in: dropped on an opening, on none, a folder, the same again, what is no photo; filed, taken out;
// as a job that shows how far it is and can be stopped.
#include <gmock/gmock.h>

#include <chrono>
#include <fstream>
#include <thread>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

class PhotosTest : public WindowTest {
 protected:
  void SetUp() override { make_opening(); }
};

TEST_F(PhotosTest, FallOnTheRowTheyAreDroppedOn) {
  Driver& w = window();
  w.click("openings.add");
  w.settle();
  ASSERT_EQ(w.desk().selected()->opening.tag, "P-02");
  w.drop({demo_photo("s01-hole-2026.jpg")}, w.middle_of("openings.row.P-01"));
  EXPECT_EQ(w.opening("P-01").photos.size(), 1U);
  EXPECT_TRUE(w.opening("P-02").photos.empty());
}

TEST_F(PhotosTest, WaitUnfiledAndAreRecordedWhenTheyAreFiled) {
  Driver& w = window();
  w.key(Key::U, true);
  w.frame(2);
  ASSERT_FALSE(w.desk().selected());
  take_in("s01-hole-2026.jpg");
  ASSERT_EQ(w.logbook().unfiled.size(), 1U);
  ASSERT_TRUE(w.desk().bench().report) << "what was found is shown though it belongs to nobody";
  EXPECT_FALSE(w.enabled("bench.accept"));
  w.choose("bench.file", "P-01");
  w.settle();
  EXPECT_TRUE(w.logbook().unfiled.empty());
  EXPECT_NEAR(measured("P-01", model::Quantity::HoleDiameter).value, 35.2, 0.4);
}

// The photo in hand waits unfiled; the same file falls on a row, together with others that take their time.
TEST_F(PhotosTest, WhatIsInHandMayBeFiledByADropGoingOn) {
  Driver& w = window();
  w.key(Key::U, true);
  w.frame(2);
  take_in("s01-hole-2026.jpg");
  ASSERT_TRUE(w.desk().open_photo());
  w.move_to(w.middle_of("openings.row.P-01"));
  w.shell().drop(
      {demo_photo("s01-hole-2026.jpg"), demo_photo("s02-hole-2026.jpg"), demo_photo("s04-hole-2026.jpg")});
  for (int i = 0; i < 5000 && (i < 2 || !w.desk().idle()); ++i) {
    w.frame();
    ASSERT_EQ(w.desk().bench().use.has_value(), w.desk().open_photo() != nullptr);
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  w.settle();
  EXPECT_EQ(w.opening("P-01").photos.size(), 3U);
  EXPECT_FALSE(w.desk().bench().use) << "none is left unfiled";
}

TEST_F(PhotosTest, ClosingTheLogbookWhileAPhotoLoadsDropsIt) {
  Driver& w = window();
  take_in("s01-hole-2026.jpg");
  take_in("s04-hole-2026.jpg");
  const BenchState* before = &w.desk().bench();
  w.desk().apply(StepPhoto{-1});
  ASSERT_EQ(before->load, BenchState::Load::Loading);
  w.desk().apply(CloseLogbook{});
  EXPECT_EQ(&w.desk().bench(), before) << "jobs going on refer to it";
  w.settle();
  EXPECT_FALSE(before->use);
  EXPECT_EQ(before->load, BenchState::Load::None);
  EXPECT_EQ(w.textures().size(), 0U);
}

TEST_F(PhotosTest, PicturesOfOneLogbookAreNotShownInAnother) {
  Driver& w = window();
  take_in("s01-hole-2026.jpg");
  const auto photo = w.desk().open_photo()->photo.id.value;
  ASSERT_TRUE(w.textures().contains({TextureKey::Kind::View, photo, 0, 0}));
  ASSERT_TRUE(w.textures().contains({TextureKey::Kind::Thumb, photo, 0, 0}));
  w.desk().apply(CreateLogbook{folder() / "Second boat"});
  w.frame(2);
  ASSERT_TRUE(w.desk().logbook());
  EXPECT_EQ(w.textures().size(), 0U);
  w.key(Key::N, true);
  w.settle();
  w.key(Key::Escape);
  take_in("s04-hole-2026.jpg");
  EXPECT_EQ(w.desk().open_photo()->photo.id.value, photo) << "photos are counted from one again";
  EXPECT_TRUE(w.textures().contains({TextureKey::Kind::View, photo, 0, 0}));
  EXPECT_TRUE(w.textures().contains({TextureKey::Kind::Thumb, photo, 0, 0}));
}

TEST_F(PhotosTest, TheSameAgainIsLinkedNotCopied) {
  Driver& w = window();
  take_in("s01-hole-2026.jpg");
  take_in("s01-hole-2026.jpg");
  EXPECT_EQ(w.opening("P-01").photos.size(), 1U);
  EXPECT_THAT(w.state().messages.back().text, testing::HasSubstr("before"));
}

TEST_F(PhotosTest, WhatIsNoPhotoIsNamedAndTheOthersComeIn) {
  Driver& w = window();
  std::ofstream(folder() / "empty.jpg").flush();
  std::ofstream(folder() / "letter.jpg") << "Dear owner,";
  w.drop({folder() / "empty.jpg", demo_photo("s01-hole-2026.jpg"), folder() / "letter.jpg"}, {400, 600});
  EXPECT_EQ(w.opening("P-01").photos.size(), 1U);
  std::vector<std::string> problems;
  for (const auto& m : w.state().messages)
    if (m.problem) problems.push_back(m.text);
  ASSERT_EQ(problems.size(), 2U);
  EXPECT_THAT(problems[0], testing::HasSubstr("empty.jpg"));
  EXPECT_THAT(problems[1], testing::HasSubstr("letter.jpg"));
}

TEST_F(PhotosTest, ARefusalIsShownWithWhatToDo) {
  Driver& w = window();
  take_in("c01-hole-2026.jpg");
  ASSERT_TRUE(w.desk().bench().report);
  EXPECT_EQ(w.desk().bench().report->refused.value().code, "no-reference");
  EXPECT_TRUE(w.sees("bench.refused"));
  EXPECT_TRUE(w.opening("P-01").measurements.empty());
}

TEST_F(PhotosTest, TakingOneOutKeepsItForUndo) {
  Driver& w = window();
  take_in("s01-hole-2026.jpg");
  w.menu("Photo", "photo.remove");
  w.settle();
  EXPECT_TRUE(w.opening("P-01").photos.empty());
  EXPECT_TRUE(w.opening("P-01").measurements.empty());
  EXPECT_FALSE(w.desk().bench().use);
  w.key(Key::Z, true);
  w.settle();
  EXPECT_EQ(w.opening("P-01").photos.size(), 1U);
  EXPECT_FALSE(w.opening("P-01").measurements.empty());
}

TEST_F(PhotosTest, WalkingThroughThemByKey) {
  Driver& w = window();
  take_in("s01-hole-2026.jpg");
  take_in("s04-hole-2026.jpg");
  const auto& photos = w.opening("P-01").photos;
  w.key(Key::LeftBracket);
  w.settle();
  EXPECT_EQ(w.desk().bench().use, photos[0].use.id);
  w.key(Key::RightBracket);
  w.settle();
  EXPECT_EQ(w.desk().bench().use, photos[1].use.id);
  w.click("bench.thumb." + std::to_string(photos[0].use.id.value));
  w.settle();
  EXPECT_EQ(w.desk().bench().use, photos[0].use.id);
}

TEST_F(PhotosTest, AJobShowsHowFarItIsAndCanBeStopped) {
  Driver& w = window();
  for (int i = 0; i < 12; ++i) {
    const auto copy = folder() / ("photo" + std::to_string(i) + ".jpg");
    std::filesystem::copy_file(demo_photo("s01-hole-2026.jpg"), copy);
    std::ofstream(copy, std::ios::app | std::ios::binary) << i;  // other bytes: another photo
  }
  std::vector<std::filesystem::path> files;
  for (int i = 0; i < 12; ++i) files.push_back(folder() / ("photo" + std::to_string(i) + ".jpg"));
  w.move_to({400, 600});
  w.shell().drop(files);
  w.frame(3);
  ASSERT_TRUE(w.sees("status.cancel"));
  EXPECT_TRUE(w.sees("status.progress"));
  w.click("status.cancel");
  w.settle();
  EXPECT_LT(w.opening("P-01").photos.size(), 12U);
  EXPECT_FALSE(w.sees("status.cancel"));
}

TEST_F(PhotosTest, QuittingDuringAJobAsksFirst) {
  Driver& w = window();
  w.move_to({400, 600});
  w.shell().drop(
      {demo_photo("s01-hole-2026.jpg"), demo_photo("s02-hole-2026.jpg"), demo_photo("s04-hole-2026.jpg")});
  w.frame(2);
  w.key(Key::Q, true);
  w.frame(2);
  ASSERT_FALSE(w.desk().quits());
  w.click("quit.stay");
  w.settle();
  EXPECT_FALSE(w.desk().quits());
  EXPECT_EQ(w.opening("P-01").photos.size(), 3U);
  w.key(Key::Q, true);
  EXPECT_TRUE(w.desk().quits());
}

}  // namespace
}  // namespace spile::gui
