#include "vision/plane.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Dense>
#include <opencv2/calib3d.hpp>
#include <random>

namespace spile::vision {
namespace {

Plane looking(double tilt_deg, double azimuth_deg, double roll_deg, double distance, double focal = 1500) {
  const double rad = M_PI / 180;
  Plane plane;
  const Eigen::AngleAxisd roll(roll_deg * rad, Point3::UnitZ());
  const Eigen::AngleAxisd tilt(tilt_deg * rad,
                               Point3(std::cos(azimuth_deg * rad), std::sin(azimuth_deg * rad), 0));
  plane.rotation = roll * tilt * Eigen::AngleAxisd(M_PI, Point3::UnitX());
  plane.origin = Point3(4, -7, distance);
  plane.focal_px = focal;
  plane.centre = Point2(1007.5, 755.5);
  return plane;
}

std::vector<Point2> card_corners() {
  std::vector<Point2> out;
  for (const Point2& c : {Point2(-35, 22.5), Point2(35, 22.5), Point2(35, -22.5), Point2(-35, -22.5)}) {
    for (const Point2& d : {Point2(-10, 10), Point2(10, 10), Point2(10, -10), Point2(-10, -10)})
      out.push_back(c + d);
  }
  return out;
}

std::vector<Point2> seen(const Plane& plane, const std::vector<Point2>& mm) {
  std::vector<Point2> out;
  for (const Point2& p : mm) out.push_back(plane.px_from_mm(Point3(p.x(), p.y(), 0)));
  return out;
}

CameraPrior prior_for(double focal = 1500) {
  PictureInfo info;
  info.width_px = 2016;
  info.height_px = 1512;
  info.focal_px = focal;
  return camera_prior(info);
}

TEST(Homography, EqualsOpenCv) {
  const Plane plane = looking(33, 60, 20, 240);
  std::vector<cv::Point2d> a, b;
  const auto mm = card_corners();
  auto px = seen(plane, mm);
  std::mt19937 random(3);
  std::normal_distribution<double> noise(0, 0.3);
  for (std::size_t i = 0; i < mm.size(); ++i) {
    px[i] += Point2(noise(random), noise(random));
    a.emplace_back(mm[i].x(), mm[i].y());
    b.emplace_back(px[i].x(), px[i].y());
  }
  const auto ours = homography(mm, px);
  ASSERT_TRUE(ours);
  const cv::Mat theirs = cv::findHomography(a, b, 0);
  for (const Point2& p : mm) {
    const Eigen::Vector3d q = *ours * Eigen::Vector3d(p.x(), p.y(), 1);
    const cv::Mat r = theirs * (cv::Mat_<double>(3, 1) << p.x(), p.y(), 1);
    EXPECT_NEAR(q.x() / q.z(), r.at<double>(0) / r.at<double>(2), 0.05);
    EXPECT_NEAR(q.y() / q.z(), r.at<double>(1) / r.at<double>(2), 0.05);
  }
}

TEST(Homography, RefusesDegeneratePoints) {
  const std::vector<Point2> line{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}};
  EXPECT_FALSE(homography(line, line));
  EXPECT_FALSE(homography({{0, 0}, {1, 0}, {1, 1}}, {{0, 0}, {1, 0}, {1, 1}}));
}

TEST(Plane, ProjectsAsOpenCvDoes) {
  Plane plane = looking(25, 130, 70, 300);
  plane.k1 = -0.06;
  plane.k2 = 0.01;
  cv::Mat k = (cv::Mat_<double>(3, 3) << plane.focal_px, 0, plane.centre.x(), 0, plane.focal_px,
               plane.centre.y(), 0, 0, 1);
  cv::Mat r(3, 3, CV_64F);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) r.at<double>(i, j) = plane.rotation(i, j);
  }
  cv::Mat turn;
  cv::Rodrigues(r, turn);
  const std::vector<cv::Point3d> mm{{30, -20, 0}, {-45, 32, 0}, {10, 50, -2}};
  std::vector<cv::Point2d> px;
  cv::projectPoints(mm, turn, cv::Vec3d(plane.origin.x(), plane.origin.y(), plane.origin.z()), k,
                    std::vector<double>{plane.k1, plane.k2, 0, 0}, px);
  for (std::size_t i = 0; i < mm.size(); ++i) {
    const Point2 ours = plane.px_from_mm(Point3(mm[i].x, mm[i].y, mm[i].z));
    EXPECT_NEAR(ours.x(), px[i].x, 1e-8);
    EXPECT_NEAR(ours.y(), px[i].y, 1e-8);
  }
}

RC_GTEST_PROP(PlaneProperty, PixelsAndMillimetresAreInverse, ()) {
  const double tilt = *rc::gen::inRange(0, 60), azimuth = *rc::gen::inRange(0, 360);
  Plane plane = looking(tilt, azimuth, *rc::gen::inRange(0, 360), *rc::gen::inRange(120, 600));
  plane.k1 = *rc::gen::inRange(-80, 50) / 1000.0;
  plane.k2 = *rc::gen::inRange(-15, 15) / 1000.0;
  const double z = *rc::gen::inRange(-30, 3) / 1.0;
  const Point2 mm(*rc::gen::inRange(-40, 40), *rc::gen::inRange(-40, 40));
  const auto back = plane.mm_from_px(plane.px_from_mm(Point3(mm.x(), mm.y(), z)), z);
  RC_ASSERT(back.has_value());
  RC_ASSERT((*back - mm).norm() < 1e-6);
}

TEST(Plane, RecoversPoseFocalAndTilt) {
  Plane truth = looking(35, 200, 110, 250, 1530);
  const auto mm = card_corners();
  const auto start = plane_from_points(mm, seen(truth, mm), prior_for(1530));
  ASSERT_TRUE(start);
  EXPECT_NEAR(start->tilt_deg(), 35, 0.01);
  EXPECT_LT((start->origin - truth.origin).norm(), 0.05);
  // Without a focal length in the file the perspective of a well tilted card gives it.
  CameraPrior blind = prior_for();
  blind.focal_from_exif = false;
  blind.u_log_focal = 0.25;
  const auto found = plane_from_points(mm, seen(truth, mm), blind);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->focal_px, 1530, 1);
}

TEST(Plane, LocalScaleIsDistanceOverFocalSquareOn) {
  const Plane plane = looking(0, 0, 0, 300, 3000);
  EXPECT_NEAR(plane.mm_per_px(plane.px_from_mm(Point3(20, 10, 0))), 0.1, 1e-9);
  EXPECT_NEAR(plane.mm_per_px(plane.px_from_mm(Point3(20, 10, 0)), -3), 0.101, 1e-9);
}

// The stated covariance against the scatter of 400 fits to freshly disturbed corners, for a length in the
// plane.
TEST(PlaneFit, CovarianceAgreesWithMonteCarlo) {
  const Plane truth = looking(28, 75, 10, 260);
  const auto mm = card_corners();
  const auto clean = seen(truth, mm);
  const double u = 0.2;
  CameraPrior prior = prior_for();
  const auto a_px = truth.px_from_mm(Point3(60, -10, 0)), b_px = truth.px_from_mm(Point3(90, 15, 0));
  const auto length = [&](const Plane& plane) {
    return (*plane.mm_from_px(a_px) - *plane.mm_from_px(b_px)).norm();
  };
  std::mt19937 random(11);
  std::normal_distribution<double> normal(0, 1);
  std::vector<double> lengths;
  double stated = 0;
  for (int run = 0; run < 400; ++run) {
    std::vector<Point2> px = clean;
    for (Point2& p : px) p += u * Point2(normal(random), normal(random));
    // The priors are drawn too: a fit may lean on them only as far as they are true.
    CameraPrior drawn = prior;
    drawn.k1 += prior.u_k1 * normal(random);
    drawn.k2 += prior.u_k2 * normal(random);
    drawn.centre += prior.u_centre * Point2(normal(random), normal(random));
    drawn.focal_px *= std::exp(prior.u_log_focal * normal(random));
    const auto start = plane_from_points(mm, px, drawn);
    ASSERT_TRUE(start);
    const auto residuals = [&](const Plane& plane, const Eigen::VectorXd&) {
      Eigen::VectorXd r(2 * static_cast<Eigen::Index>(mm.size()));
      for (std::size_t i = 0; i < mm.size(); ++i) {
        r.segment<2>(2 * static_cast<Eigen::Index>(i)) =
            (plane.px_from_mm(Point3(mm[i].x(), mm[i].y(), 0)) - px[i]) / u;
      }
      return r;
    };
    const PlaneFit fit = fit_plane(*start, drawn, residuals, {}, {}, "reference corners");
    lengths.push_back(length(fit.plane));
    if (run == 0) {
      double variance = 0;
      for (const double s : fit.plane.spread_of(length)) variance += s * s;
      stated = std::sqrt(variance);
    }
  }
  double mean = 0, variance = 0;
  for (const double l : lengths) mean += l / static_cast<double>(lengths.size());
  for (const double l : lengths)
    variance += (l - mean) * (l - mean) / static_cast<double>(lengths.size() - 1);
  EXPECT_NEAR(mean, length(truth), 4 * stated / 20);
  EXPECT_NEAR(std::sqrt(variance) / stated, 1, 0.15);
}

}  // namespace
}  // namespace spile::vision
