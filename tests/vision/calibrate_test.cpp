#include "vision/calibrate.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>
#include <opencv2/calib3d.hpp>

#include "board_scenes.hpp"
#include "vision/camera_profile.hpp"

namespace spile::vision {
namespace {

namespace fs = std::filesystem;
using test::board_camera;
using test::board_photos;
using test::boards_in;
using testing::HasSubstr;

constexpr const char* kDate = "2026-04-12";

// The boards seen in the photos by a lens; drawn once.
const std::vector<BoardPhoto>& drawn(double k1) {
  static std::map<double, std::vector<BoardPhoto>> known;
  auto& seen = known[k1];
  if (seen.empty()) seen = boards_in(board_photos({board_camera(k1)}));
  return seen;
}

// OpenCV's own calibration of the same corners with the same model: one focal length, k1, k2, no tangential
// terms.
struct Theirs {
  double focal = 0, k1 = 0, k2 = 0, cx = 0, cy = 0, rms = 0;
};

Theirs by_opencv(const std::vector<BoardPhoto>& photos, const BoardSize& board) {
  std::vector<std::vector<cv::Point3f>> objects;
  std::vector<std::vector<cv::Point2f>> seen;
  for (const auto& photo : photos) {
    if (photo.corners.empty()) continue;
    auto& object = objects.emplace_back();
    auto& corners = seen.emplace_back();
    for (std::size_t i = 0; i < photo.corners.size(); ++i) {
      const auto across = static_cast<std::size_t>(board.across);
      object.emplace_back(static_cast<float>(i % across), static_cast<float>(i / across), 0.F);
      corners.emplace_back(static_cast<float>(photo.corners[i].x), static_cast<float>(photo.corners[i].y));
    }
  }
  const cv::Size size(photos.front().info.width_px, photos.front().info.height_px);
  cv::Mat k =
      (cv::Mat_<double>(3, 3) << size.width, 0, size.width / 2.0, 0, size.width, size.height / 2.0, 0, 0, 1);
  cv::Mat distortion;
  std::vector<cv::Mat> rotations, shifts;
  const int flags = cv::CALIB_USE_INTRINSIC_GUESS | cv::CALIB_FIX_ASPECT_RATIO | cv::CALIB_ZERO_TANGENT_DIST |
                    cv::CALIB_FIX_K3;
  Theirs out;
  out.rms = cv::calibrateCamera(objects, seen, size, k, distortion, rotations, shifts, flags);
  out.focal = k.at<double>(0, 0);
  out.cx = k.at<double>(0, 2);
  out.cy = k.at<double>(1, 2);
  out.k1 = distortion.at<double>(0);
  out.k2 = distortion.at<double>(1);
  return out;
}

// How far a point half-way to the corner is moved, px: what two lenses must agree on, k1 and k2 apart or not.
double moved_half_way(double focal, double k1, double k2, const model::CameraProfile& p) {
  model::CameraProfile other = p;
  other.focal_px = focal;
  other.k1 = k1;
  other.k2 = k2;
  return displacement_at(other, 0.5).px;
}

class DrawnLens : public testing::TestWithParam<double> {};

TEST_P(DrawnLens, IsFoundWithinItsUncertainty) {
  const double k1 = GetParam();
  const auto camera = board_camera(k1);
  const auto found = calibrate(drawn(k1), {}, kDate);
  ASSERT_TRUE(found.profile) << found.refused->reason;
  const auto& p = *found.profile;
  EXPECT_LT(std::abs(std::log(p.focal_px / camera.focal_px)), 3.5 * p.u_log_focal);
  EXPECT_LT(std::abs(p.k1 - k1), 3.5 * p.u_k1);
  EXPECT_LT(std::abs(p.k2), 3.5 * p.u_k2);
  EXPECT_LT(std::hypot(p.centre_x_px - 407.5, p.centre_y_px - 305.5), 4.3 * p.u_centre_px);
  EXPECT_LT(p.u_log_focal, 0.003);
  EXPECT_LT(displacement_at(p, 0.5).u_px, 0.3);
  EXPECT_LT(p.rms_px, 0.15);
  EXPECT_EQ(p.photos, 9);
  EXPECT_GT(p.reach, 0.55);
  EXPECT_EQ(p.camera, "Testcam S1");
  EXPECT_EQ(p.date, kDate);
}

TEST_P(DrawnLens, IsWhatOpenCvMakesOfTheSameCorners) {
  const auto& photos = drawn(GetParam());
  const auto found = calibrate(photos, {}, kDate);
  ASSERT_TRUE(found.profile) << found.refused->reason;
  const auto& p = *found.profile;
  const auto theirs = by_opencv(photos, {});
  EXPECT_NEAR(p.focal_px / theirs.focal, 1, 2 * p.u_log_focal);
  EXPECT_NEAR(displacement_at(p, 0.5).px, moved_half_way(theirs.focal, theirs.k1, theirs.k2, p),
              2 * displacement_at(p, 0.5).u_px);
  EXPECT_NEAR(p.centre_x_px, theirs.cx, 2 * p.u_centre_px);
  EXPECT_NEAR(p.centre_y_px, theirs.cy, 2 * p.u_centre_px);
}

INSTANTIATE_TEST_SUITE_P(K1, DrawnLens, testing::Values(-0.12, 0.0, 0.06));

TEST(Calibrate, ThePrintedSizeDoesNotMatter) {
  const auto small = calibrate(drawn(-0.12), {}, kDate);
  const auto large = calibrate(boards_in(board_photos({board_camera(-0.12), 30, true, 47.3})), {}, kDate);
  ASSERT_TRUE(small.profile && large.profile);
  EXPECT_NEAR(large.profile->focal_px / small.profile->focal_px, 1,
              3 * std::hypot(small.profile->u_log_focal, large.profile->u_log_focal));
}

// Photos taken on their side, the camera's stabiliser and all, tell of the same lens as upright ones.
TEST(Calibrate, OrientationIsUndone) {
  auto photos = drawn(-0.12);
  auto on_side = board_camera(-0.12);
  on_side.exif_orientation = 6;
  std::swap(on_side.width_px, on_side.height_px);
  const auto turned = boards_in(board_photos({on_side}));
  photos.resize(5);
  photos.insert(photos.end(), turned.begin() + 5, turned.end());
  const auto found = calibrate(photos, {}, kDate);
  ASSERT_TRUE(found.profile) << found.refused->reason;
  EXPECT_EQ(found.profile->width_px, 816);
  EXPECT_EQ(found.profile->photos, 9);
  EXPECT_LT(std::abs(std::log(found.profile->focal_px / 700)), 3.5 * found.profile->u_log_focal);
}

TEST(Calibrate, LeavesOutABadPhotoAndSaysWhy) {
  auto photos = drawn(-0.12);
  for (std::size_t i = 0; i < photos[3].corners.size(); ++i)  // a board bent like a bow
    photos[3].corners[i].y += 3 * std::sin(static_cast<double>(i % 9) / 8 * M_PI);
  scenes::Scene bare;
  photos.push_back(find_board(test::decoded(scenes::take(bare, board_camera(0)).jpeg, "bare.jpg"), {}));
  const auto found = calibrate(photos, {}, kDate);
  ASSERT_TRUE(found.profile) << found.refused->reason;
  EXPECT_EQ(found.profile->photos, 8);
  EXPECT_THAT(found.photos[3].left_out, HasSubstr("bent"));
  EXPECT_THAT(found.photos.back().left_out, HasSubstr("no board with 9 x 6 inner corners"));
  EXPECT_THAT(found.profile->note, HasSubstr("board_3.jpg left out"));
  EXPECT_THAT(found.profile->note, HasSubstr("bare.jpg left out"));
  EXPECT_LT(std::abs(found.profile->k1 + 0.12), 3.5 * found.profile->u_k1);
}

void expect_refused(const std::vector<BoardPhoto>& photos, const std::string& code,
                    const std::string& reason) {
  const auto found = calibrate(photos, {}, kDate);
  EXPECT_FALSE(found.profile);
  ASSERT_TRUE(found.refused);
  EXPECT_EQ(found.refused->code, code);
  EXPECT_THAT(found.refused->reason, HasSubstr(reason));
  EXPECT_EQ(found.photos.size(), photos.size());
}

TEST(Calibrate, RefusesTooFewPhotos) {
  auto photos = drawn(-0.12);
  photos.resize(4);
  expect_refused(photos, "too-few-photos", "in 4 of 4 photos");
  expect_refused({}, "too-few-photos", "in 0 of 0 photos");
  expect_refused(std::vector<BoardPhoto>(1), "too-few-photos", "in 0 of 1 photo;");
}

TEST(Calibrate, RefusesPhotosFromOneDirection) {
  expect_refused(boards_in(board_photos({board_camera(-0.05), 3})), "same-direction",
                 "from nearly one direction");
}

TEST(Calibrate, RefusesMixedCamerasAndZooms) {
  auto photos = drawn(-0.12);
  photos[2].info.camera = "Othercam T2";
  expect_refused(photos, "mixed-cameras", "board_2.jpg is by Othercam T2");
  photos = drawn(-0.12);
  photos[4].info.digital_zoom = 2;
  expect_refused(photos, "mixed-cameras", "digital zoom 2");
}

TEST(Calibrate, RefusesPhotosThatDoNotNameTheirCamera) {
  auto photos = drawn(-0.12);
  for (auto& photo : photos) photo.info.camera.clear();
  expect_refused(photos, "no-camera", "EXIF");
}

// The jackknife and the scatter together must cover what the lens really is: z is standard normal at best.
TEST(Calibrate, UncertaintiesHoldOverManySets) {
  std::vector<double> z;
  for (std::uint64_t seed = 2; seed < 6; ++seed) {
    test::BoardScenes wanted{board_camera(seed % 2 == 0 ? -0.1 : 0.03)};
    wanted.camera.noise = 4;
    wanted.seed = seed;
    const auto found = calibrate(boards_in(board_photos(wanted)), {}, kDate);
    ASSERT_TRUE(found.profile) << found.refused->reason;
    const auto& p = *found.profile;
    const auto moved = displacement_at(p, 0.5);
    z.push_back(std::log(p.focal_px / 700) / p.u_log_focal);
    z.push_back((moved.px - moved_half_way(p.focal_px, wanted.camera.k1, 0, p)) / moved.u_px);
    z.push_back((p.centre_x_px - 407.5) / p.u_centre_px);
    z.push_back((p.centre_y_px - 305.5) / p.u_centre_px);
  }
  double squares = 0;
  for (const double one : z) squares += one * one;
  const double rms = std::sqrt(squares / static_cast<double>(z.size()));
  EXPECT_LT(rms, 1.5);
  EXPECT_GT(rms, 0.4) << "intervals far wider than the errors help nobody";
}

// Outside: eight photos of a chessboard of 30 mm squares by a phone, see ../shared/photos/real/README.md.
TEST(RealBoard, IsCalibratedAsOpenCvDoes) {
  const fs::path folder = fs::path(SPILE_SOURCE_DIR) / ".." / "shared" / "photos" / "real" / "board_30mm";
  if (!fs::exists(folder)) GTEST_SKIP() << "needs ../shared/photos";
  std::vector<BoardPhoto> photos;
  for (const auto& entry : fs::directory_iterator(folder)) {
    const auto picture = Picture::load(entry.path());
    ASSERT_TRUE(picture);
    photos.push_back(find_board(*picture, {7, 5}));
  }
  const auto found = calibrate(photos, {7, 5}, kDate);
  ASSERT_TRUE(found.profile) << found.refused->reason;
  const auto& p = *found.profile;
  EXPECT_EQ(p.photos, 8);
  EXPECT_THAT(p.note, HasSubstr("less certain beyond"));
  const auto theirs = by_opencv(photos, {7, 5});
  EXPECT_NEAR(p.focal_px / theirs.focal, 1, 2 * p.u_log_focal);
  EXPECT_NEAR(p.centre_x_px, theirs.cx, 2 * p.u_centre_px);
  EXPECT_NEAR(p.centre_y_px, theirs.cy, 2 * p.u_centre_px);
  EXPECT_NEAR(displacement_at(p, 0.5).px, moved_half_way(theirs.focal, theirs.k1, theirs.k2, p),
              2 * displacement_at(p, 0.5).u_px);
}

}  // namespace
}  // namespace spile::vision
