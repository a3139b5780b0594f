#include "vision/camera_profile.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "vision/plane.hpp"

namespace spile::vision {
namespace {

model::CameraProfile profile() {
  model::CameraProfile p;
  p.camera = "Testcam S1";
  p.focal_mm = 4.3;
  p.focal_35mm = 28;
  p.width_px = 4000;
  p.height_px = 3000;
  p.focal_px = 3200;
  p.u_log_focal = 0.001;
  p.k1 = -0.08;
  p.u_k1 = 0.004;
  p.k2 = 0.02;
  p.u_k2 = 0.01;
  p.k_correlation = -0.9;
  p.centre_x_px = 1999.5 + 20;
  p.centre_y_px = 1499.5 - 7;
  p.u_centre_px = 2;
  p.date = "2026-04-12";
  return p;
}

PictureInfo photo(int width = 4000, int height = 3000, int orientation = 1) {
  PictureInfo info;
  info.camera = "Testcam S1";
  info.focal_mm = 4.3;
  info.focal_35mm = 28;
  info.width_px = width;
  info.height_px = height;
  info.exif_orientation = orientation;
  return info;
}

TEST(CameraProfile, FitsOnlyTheSameCameraZoomAndPictureSize) {
  EXPECT_TRUE(fits(profile(), photo()));
  EXPECT_TRUE(fits(profile(), photo(3000, 4000, 6))) << "on its side";
  EXPECT_FALSE(fits(profile(), photo(2000, 1500))) << "scaled, or cut out with the same shape";
  EXPECT_FALSE(fits(profile(), photo(4000, 2250))) << "cut to 16:9";
  auto other = photo();
  other.camera = "Testcam S2";
  EXPECT_FALSE(fits(profile(), other));
  other = photo();
  other.focal_35mm = 56;  // a phone's zoom often shows here only
  EXPECT_FALSE(fits(profile(), other));
  other = photo();
  other.digital_zoom = 2;
  EXPECT_FALSE(fits(profile(), other));
  other = photo();
  other.focal_mm = 6.9;
  EXPECT_FALSE(fits(profile(), other));
  other = photo();
  other.focal_mm.reset();
  EXPECT_FALSE(fits(profile(), other));
  other.camera.clear();
  EXPECT_FALSE(fits(profile(), other));
}

TEST(CameraProfile, OfSeveralTheNewestFits) {
  auto old = profile(), newer = profile(), wrong = profile();
  newer.date = "2026-05-01";
  wrong.date = "2026-06-01";
  wrong.camera = "Testcam S2";
  const std::vector<model::CameraProfile> known{newer, old, wrong};
  ASSERT_NE(fitting_profile(known, photo()), nullptr);
  EXPECT_EQ(fitting_profile(known, photo())->date, "2026-05-01");
  EXPECT_EQ(fitting_profile(known, photo(100, 75)), nullptr);
}

TEST(CameraProfile, GivesThePriorWithWhatMayFloat) {
  auto info = photo();
  info.lens = profile();
  const auto prior = camera_prior(info);
  EXPECT_EQ(prior.focal_px, 3200);
  EXPECT_EQ(prior.k1, -0.08);
  EXPECT_EQ(prior.lens_term, "lens: calibrated 2026-04-12");
  EXPECT_GT(prior.u_log_focal, profile().u_log_focal);
  EXPECT_LT(prior.u_log_focal, 0.006) << "focusing moves a phone's lens by less";
  EXPECT_GT(prior.u_k1, profile().u_k1);
  EXPECT_LT(prior.u_k1, CameraPrior().u_k1);
  info.lens.reset();
  EXPECT_EQ(camera_prior(info).lens_term, "lens: assumed");
  EXPECT_EQ(lens_words(info), "assumed");
}

// The axis stays where it is on the sensor however the camera was held (EXIF 2.32, tag 0x0112).
TEST(CameraProfile, TurnsTheAxisWithThePicture) {
  const auto axis = [](int width, int height, int orientation) {
    auto info = photo(width, height, orientation);
    info.lens = profile();
    const auto prior = camera_prior(info);
    return Point2(prior.centre - Point2(0.5 * (width - 1), 0.5 * (height - 1)));
  };
  EXPECT_LT((axis(4000, 3000, 1) - Point2(20, -7)).norm(), 1e-9);
  EXPECT_LT((axis(4000, 3000, 3) - Point2(-20, 7)).norm(), 1e-9);
  // Orientation 6: the stored right side is seen at the bottom, the stored top at the right.
  EXPECT_LT((axis(3000, 4000, 6) - Point2(7, 20)).norm(), 1e-9);
  EXPECT_LT((axis(3000, 4000, 8) - Point2(-7, -20)).norm(), 1e-9);
  // Turned upright by a program: which way is not known any more.
  EXPECT_LT(axis(3000, 4000, 1).norm(), 1e-9);
  auto info = photo(3000, 4000);
  info.lens = profile();
  EXPECT_GT(camera_prior(info).u_centre, std::hypot(20, 7) / 1.5);
}

TEST(CameraProfile, DisplacementFollowsTheModel) {
  const auto p = profile();
  const double half = 2500, r = half / 3200;
  EXPECT_NEAR(displacement_at(p, 1).px, half * (p.k1 * r * r + p.k2 * r * r * r * r), 1e-9);
  auto apart = p;
  apart.k_correlation = 0;
  EXPECT_LT(displacement_at(p, 1).u_px, displacement_at(apart, 1).u_px) << "k1 and k2 make up for each other";
}

}  // namespace
}  // namespace spile::vision
