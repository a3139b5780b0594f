// Cameras: calibrated from dropped photos of the board, listed, used in the photo in hand, removed, undone.
#include <gmock/gmock.h>

#include <fstream>

#include "tests/gui/fixture.hpp"
#include "tests/vision/board_scenes.hpp"

namespace spile::gui {
namespace {

using vision::test::board_camera;

class CamerasTest : public WindowTest {
 protected:
  void SetUp() override { make_opening(); }

  static void write(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  }
  std::filesystem::path boards() {
    const auto place = folder() / "board";
    std::filesystem::create_directories(place);
    for (const auto& [name, bytes] : vision::test::usual_board_jpegs()) write(place / name, bytes);
    return place;
  }
  std::filesystem::path hole() {
    write(folder() / "hole.jpg", vision::test::hole_photo(board_camera(-0.12)).jpeg);
    return folder() / "hole.jpg";
  }
  void show_cameras() {
    window().key(Key::F5);
    window().frame(2);
    ASSERT_EQ(window().state().page, Page::Cameras);
  }
  void calibrate() {
    show_cameras();
    window().drop({boards()}, window().middle_of("cameras.photos"));
    window().settle();
  }
};

TEST_F(CamerasTest, DroppedPhotosOfTheBoardCalibrateAndAreNotTakenIn) {
  calibrate();
  Driver& w = window();
  ASSERT_EQ(w.logbook().cameras.size(), 1U);
  EXPECT_TRUE(w.logbook().unfiled.empty());
  EXPECT_TRUE(w.opening("P-01").photos.empty());
  EXPECT_TRUE(w.sees("cameras.residuals"));
  EXPECT_TRUE(w.sees("cameras.photo.board_0.jpg"));
  const auto id = w.logbook().cameras[0].id.value;
  EXPECT_TRUE(w.sees("cameras.profile." + std::to_string(id)));
  w.click("cameras.remove." + std::to_string(id));
  w.settle();
  EXPECT_TRUE(w.logbook().cameras.empty());
  w.key(Key::Z, true);
  w.settle();
  EXPECT_EQ(w.logbook().cameras.size(), 1U);
  w.click("cameras.done");
  w.frame(2);
  EXPECT_EQ(w.state().page, Page::Desk);
}

TEST_F(CamerasTest, ThePhotoInHandIsOfferedToBeMeasuredAgain) {
  Driver& w = window();
  w.drop({hole()}, w.middle_of("openings.row.P-01"));
  w.settle();
  const auto before = measured("P-01", model::Quantity::HoleDiameter);
  EXPECT_EQ(before.trace->lens, "assumed");
  calibrate();
  EXPECT_EQ(measured("P-01", model::Quantity::HoleDiameter).id, before.id) << "nothing changes silently";
  w.key(Key::F5);
  w.frame(2);
  ASSERT_TRUE(w.desk().bench().picture);
  ASSERT_TRUE(w.desk().bench().picture->info().lens);
  w.key(Key::M);
  w.settle();
  ASSERT_TRUE(w.desk().bench().report && w.desk().bench().report->reference);
  EXPECT_EQ(w.desk().bench().report->reference->lens, "calibrated 2026-04-12");
  w.click("bench.accept");
  w.settle();
  const auto after = measured("P-01", model::Quantity::HoleDiameter);
  EXPECT_EQ(after.trace->lens, "calibrated 2026-04-12");
  EXPECT_EQ(after.supersedes, before.id);
  // Undone: the record, then the calibration; the photo in hand follows.
  w.key(Key::Z, true);
  w.settle();
  w.key(Key::Z, true);
  w.settle();
  EXPECT_TRUE(w.logbook().cameras.empty());
  EXPECT_FALSE(w.desk().bench().picture->info().lens);
}

TEST_F(CamerasTest, RefusalsSayWhyForEveryPhoto) {
  show_cameras();
  Driver& w = window();
  w.drop({hole()}, w.middle_of("cameras.photos"));
  w.settle();
  EXPECT_TRUE(w.sees("cameras.refused"));
  EXPECT_TRUE(w.sees("cameras.photo.hole.jpg"));
  ASSERT_TRUE(w.state().cameras.last);
  EXPECT_EQ(w.state().cameras.last->calibration.refused->code, "too-few-photos");
  EXPECT_TRUE(w.logbook().cameras.empty());
}

TEST_F(CamerasTest, AnotherBoardIsTyped) {
  show_cameras();
  Driver& w = window();
  w.fill("cameras.board", "7 x 5");
  w.settle();
  EXPECT_EQ(w.state().cameras.board, (vision::BoardSize{7, 5}));
  w.fill("cameras.board", "a few");
  w.settle();
  EXPECT_TRUE(w.sees("cameras.board_trouble"));
  EXPECT_EQ(w.state().cameras.board, (vision::BoardSize{7, 5}));
}

TEST_F(CamerasTest, TheBoardIsPrintedBesideTheLogbook) {
  show_cameras();
  Driver& w = window();
  w.click("cameras.print.a4");
  w.settle();
  EXPECT_TRUE(std::filesystem::exists(w.logbook().folder.parent_path() / "spile-board.pdf"));
}

TEST_F(CamerasTest, PhotosAreChosenFromAFolder) {
  const auto place = boards();
  show_cameras();
  Driver& w = window();
  w.click("cameras.photos");
  w.settle();
  EXPECT_TRUE(w.state().chooser.open);
  EXPECT_EQ(w.state().chooser.purpose, ChooserFor::BoardPhotos);
  w.desk().apply(ChooserGo{place});
  w.frame(2);
  w.click("chooser.take");
  w.settle();
  EXPECT_EQ(w.logbook().cameras.size(), 1U);
}

}  // namespace
}  // namespace spile::gui
