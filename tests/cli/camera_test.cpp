// spile camera as a person uses it: print the board, calibrate, measure with it, take it away again.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "../app/support.hpp"
#include "../vision/board_scenes.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using vision::test::board_camera;

class Camera : public testing::Test {
 protected:
  app::test::TempFolder folder_;
  std::string logbook_ = (folder_ / "heron.spile").string();
  std::string boards_ = (folder_ / "board").string();
  std::string hole_ = (folder_ / "hole.jpg").string();

  void SetUp() override {
    EXPECT_EQ(spile({"new", logbook_}).status, 0);
    fs::create_directories(boards_);
    for (const auto& [name, bytes] : vision::test::usual_board_jpegs())
      app::test::write_text(fs::path(boards_) / name, {bytes.begin(), bytes.end()});
    const auto photo = vision::test::hole_photo(board_camera(-0.12));
    app::test::write_text(hole_, {photo.jpeg.begin(), photo.jpeg.end()});
  }
};

TEST_F(Camera, IsCalibratedUsedListedAndRemoved) {
  const auto made = spile({"camera", "calibrate", logbook_, boards_});
  ASSERT_EQ(made.status, 0) << made.err;
  EXPECT_THAT(made.out, HasSubstr("Testcam S1: 30 mm equivalent, 816 x 612 px"));
  EXPECT_THAT(made.out, HasSubstr("from 9 photos"));
  EXPECT_THAT(made.err, HasSubstr("spile remeasure"));

  const auto list = json::parse(spile({"camera", "list", logbook_, "--json"}).out);
  ASSERT_THAT(list, SizeIs(1));
  EXPECT_NEAR(list[0]["k1"].get<double>(), -0.12, 4 * list[0]["u_k1"].get<double>());

  const auto plain = json::parse(spile({"measure", hole_, "--json"}).out);
  EXPECT_EQ(plain["reference"]["lens"], "assumed");
  const auto with = spile({"measure", hole_, "--json", "--camera-from", logbook_});
  const auto measured = json::parse(with.out);
  EXPECT_THAT(measured["reference"]["lens"].get<std::string>(), testing::StartsWith("calibrated 20"));
  EXPECT_THAT(measured["budget"].dump(), HasSubstr("lens: calibrated 20"));
  EXPECT_LT(measured["holes"][0]["u95_mm"], plain["holes"][0]["u95_mm"]);
  EXPECT_THAT(with.err, IsEmpty());

  const auto removed = spile({"camera", "remove", logbook_, "testcam s1"});
  EXPECT_EQ(removed.status, 0) << removed.err;
  EXPECT_THAT(removed.err, HasSubstr("Remove the calibration of Testcam S1"));
  const auto again = spile({"measure", hole_, "--json", "--camera-from", logbook_});
  EXPECT_EQ(json::parse(again.out)["reference"]["lens"], "assumed");
  EXPECT_THAT(again.err, HasSubstr("no profile in"));
  EXPECT_EQ(spile({"camera", "remove", logbook_, "1"}).status, 1);
}

TEST_F(Camera, CalibratesIntoJson) {
  const auto made = json::parse(spile({"camera", "calibrate", logbook_, boards_, "--json"}).out);
  EXPECT_EQ(made["profile"]["photos"], 9);
  EXPECT_THAT(made["photos"], SizeIs(9));
  EXPECT_EQ(made["photos"][0]["used"], true);
  EXPECT_TRUE(made["refused"].is_null());
}

TEST_F(Camera, RefusalsSayWhyAndKeepNothing) {
  const auto refused = spile({"camera", "calibrate", logbook_, hole_, "--json"});
  EXPECT_EQ(refused.status, 3);
  EXPECT_THAT(refused.err, HasSubstr("hole.jpg was left out: no board with 9 x 6 inner corners"));
  const auto answer = json::parse(refused.out);
  EXPECT_EQ(answer["refused"]["code"], "too-few-photos");
  EXPECT_TRUE(answer["profile"].is_null());
  EXPECT_THAT(json::parse(spile({"camera", "list", logbook_, "--json"}).out), IsEmpty());
  for (const char* board : {"9", "9x", "x6", "9x6x2", "2x6", "nine"})
    EXPECT_EQ(spile({"camera", "calibrate", logbook_, boards_, "--board", board}).status, 2) << board;
  EXPECT_EQ(spile({"camera"}).status, 2);
}

TEST_F(Camera, PrintsTheBoard) {
  const auto file = (folder_ / "board.pdf").string();
  const auto printed = spile({"camera", "print", "--output", file});
  EXPECT_EQ(printed.status, 0);
  EXPECT_EQ(printed.out, file + "\n");
  EXPECT_THAT(app::test::read_text(file), testing::StartsWith("%PDF"));
}

}  // namespace
}  // namespace spile::cli::test
