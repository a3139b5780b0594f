// A camera calibrated into a logbook, and what is then measured with it.
#include "app/cameras.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "../vision/board_scenes.hpp"
#include "app/logbook_json.hpp"
#include "app/photos.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

namespace fs = std::filesystem;
using test::must;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using vision::test::board_camera;

constexpr double kLens = -0.12;

class Cameras : public testing::Test {
 protected:
  test::TempFolder folder_;
  Session session_ = test::logbook_with_opening(folder_ / "heron");

  fs::path boards() {
    const auto place = folder_ / "board";
    fs::create_directories(place);
    for (const auto& [name, bytes] : vision::test::usual_board_jpegs()) write(place / name, bytes);
    return place;
  }
  fs::path hole() {
    write(folder_ / "hole.jpg", vision::test::hole_photo(board_camera(kLens)).jpeg);
    return folder_ / "hole.jpg";
  }
  static void write(const fs::path& file, const std::vector<std::uint8_t>& bytes) {
    test::write_text(file, {bytes.begin(), bytes.end()});
  }
  void import_hole() {
    ImportOptions options;
    options.opening = test::id_of(session_);
    const auto outcomes = import_photos(session_, {hole()}, options);
    ASSERT_THAT(outcomes, SizeIs(1));
    ASSERT_FALSE(outcomes[0].error);
    ASSERT_TRUE(outcomes[0].report && !outcomes[0].report->refused);
  }
  model::Measurement diameter() const {
    for (const auto& m : session_.snapshot().find("P-03")->measurements)
      if (m.quantity == model::Quantity::HoleDiameter) return m;
    throw std::runtime_error("no diameter stands");
  }
  static bool has_term(const model::Measurement& m, const std::string& term) {
    return std::any_of(m.budget.begin(), m.budget.end(), [&](const auto& t) { return t.term == term; });
  }
};

TEST_F(Cameras, ACalibrationIsOneEditThatCanBeUndone) {
  const auto outcome = calibrate_camera(session_, {boards()}, {});
  ASSERT_FALSE(outcome.error) << outcome.error->sentence();
  ASSERT_TRUE(outcome.stored);
  EXPECT_FALSE(outcome.replaced);
  ASSERT_THAT(session_.snapshot().cameras, SizeIs(1));
  const auto& profile = session_.snapshot().cameras[0];
  EXPECT_EQ(profile.id, *outcome.stored);
  EXPECT_EQ(profile.camera, "Testcam S1");
  EXPECT_EQ(profile.date, "2026-04-12");
  EXPECT_NEAR(profile.k1, kLens, 4 * profile.u_k1);
  EXPECT_EQ(session_.snapshot().undo_name, "Calibrate Testcam S1");
  EXPECT_THAT(optics_words(profile), HasSubstr("30 mm equivalent, 816 x 612 px"));
  EXPECT_THAT(corner_words(profile), HasSubstr("px"));
  EXPECT_EQ(to_json(session_.snapshot())["cameras"][0]["camera"], "Testcam S1");
  must(session_.undo());
  EXPECT_THAT(session_.snapshot().cameras, IsEmpty());
  must(session_.redo());
  must(session_.remove_camera_profile(*outcome.stored));
  EXPECT_THAT(session_.snapshot().cameras, IsEmpty());
  EXPECT_EQ(session_.remove_camera_profile(*outcome.stored).error().code, ErrorCode::NotFound);
}

TEST_F(Cameras, CalibratedAgainReplacesTheEarlierProfile) {
  const auto photos = boards();
  const auto first = calibrate_camera(session_, {photos}, {});
  const auto second = calibrate_camera(session_, {photos}, {});
  ASSERT_TRUE(first.stored && second.stored);
  EXPECT_TRUE(second.replaced);
  ASSERT_THAT(session_.snapshot().cameras, SizeIs(1));
  EXPECT_EQ(session_.snapshot().cameras[0].id, *second.stored);
  must(session_.undo());
  EXPECT_EQ(session_.snapshot().cameras.at(0).id, *first.stored);
}

TEST_F(Cameras, LaterPhotosAreMeasuredWithTheLens) {
  import_hole();
  const auto assumed = diameter();
  EXPECT_TRUE(has_term(assumed, "lens: assumed"));
  EXPECT_EQ(assumed.trace->lens, "assumed");
  must(session_.undo());
  ASSERT_TRUE(calibrate_camera(session_, {boards()}, {}).stored);
  import_hole();
  const auto calibrated = diameter();
  EXPECT_TRUE(has_term(calibrated, "lens: calibrated 2026-04-12"));
  EXPECT_EQ(calibrated.trace->lens, "calibrated 2026-04-12");
  EXPECT_LT(calibrated.u95, assumed.u95);
  EXPECT_LT(std::abs(calibrated.value - 38), 1.3 * calibrated.u95);
  EXPECT_LT(std::abs(calibrated.value - 38), std::abs(assumed.value - 38) + 0.02);
}

TEST_F(Cameras, WhatWasMeasuredBeforeStaysUntilMeasuredAgain) {
  import_hole();
  const auto before = diameter();
  ASSERT_TRUE(calibrate_camera(session_, {boards()}, {}).stored);
  EXPECT_EQ(diameter().id, before.id);
  EXPECT_EQ(diameter().trace->lens, "assumed");
  Jobs jobs;
  std::optional<vision::Report> report;
  start_load(jobs, session_, *before.photo, [&](Result<vision::Picture> picture) {
    start_measure(jobs, must(picture), {}, [&](vision::Report r) { report = std::move(r); });
  });
  jobs.wait_idle();
  ASSERT_TRUE(report && report->reference);
  EXPECT_EQ(report->reference->lens, "calibrated 2026-04-12");
}

TEST_F(Cameras, APhotoThatCannotBeReadIsLeftOutByName) {
  const auto photos = boards();
  test::write_text(photos / "z_broken.jpg", "\xff\xd8\xff\xe0 not a photo");
  const auto outcome = calibrate_camera(session_, {photos}, {});
  ASSERT_TRUE(outcome.stored);
  EXPECT_EQ(outcome.calibration.photos.back().name, "z_broken.jpg");
  EXPECT_THAT(outcome.calibration.photos.back().left_out, HasSubstr("could not be read"));
}

TEST_F(Cameras, RefusedMeansNothingIsStored) {
  const auto before = must(session_.history()).size();
  const auto outcome = calibrate_camera(session_, {hole()}, {});
  ASSERT_TRUE(outcome.calibration.refused);
  EXPECT_EQ(outcome.calibration.refused->code, "too-few-photos");
  EXPECT_FALSE(outcome.stored);
  const auto none = calibrate_camera(session_, {hole()}, {2, 6});
  ASSERT_TRUE(none.error);
  EXPECT_EQ(none.error->code, ErrorCode::BadInput);
  EXPECT_EQ(must(session_.history()).size(), before);
}

TEST_F(Cameras, AJobCanBeStopped) {
  Jobs jobs;
  std::optional<CalibrationOutcome> outcome;
  const auto job = start_calibration(jobs, session_, {boards()}, {},
                                     [&](CalibrationOutcome done) { outcome = std::move(done); });
  jobs.cancel(job);
  jobs.wait_idle();
  ASSERT_TRUE(outcome && outcome->error);
  EXPECT_EQ(outcome->error->code, ErrorCode::Cancelled);
  EXPECT_THAT(session_.snapshot().cameras, IsEmpty());
}

TEST_F(Cameras, AJobCalibratesBesideTheWindow) {
  Jobs jobs;
  std::optional<CalibrationOutcome> outcome;
  start_calibration(jobs, session_, {boards()}, {},
                    [&](CalibrationOutcome done) { outcome = std::move(done); });
  jobs.wait_idle();
  ASSERT_TRUE(outcome && outcome->stored);
  EXPECT_THAT(session_.snapshot().cameras, SizeIs(1));
}

}  // namespace
}  // namespace spile::app
