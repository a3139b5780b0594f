#include "vision/circle_fit.hpp"

#include <gtest/gtest.h>

#include <opencv2/imgproc.hpp>
#include <random>

namespace spile::vision {
namespace {

std::vector<RimPoint> ring(const Point2& centre, double major, double minor, double turn, int count,
                           double noise, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> away(0, 1);
  std::vector<RimPoint> out;
  for (int i = 0; i < count; ++i) {
    const double a = 2 * M_PI * i / count;
    const Point2 p(major / 2 * std::cos(a), minor / 2 * std::sin(a));
    const Point2 q(p.x() * std::cos(turn) - p.y() * std::sin(turn),
                   p.x() * std::sin(turn) + p.y() * std::cos(turn));
    out.push_back({centre + q + noise * Point2(away(random), away(random)), noise});
  }
  return out;
}

// Against cv::fitEllipse on the same points: its mean diameter and its axes.
TEST(RoundFit, AgreesWithOpenCvsEllipse) {
  const auto points = ring({12, -7}, 40.6, 39.4, 0.7, 90, 0.02, 5);
  std::vector<cv::Point2f> same;
  for (const RimPoint& p : points)
    same.emplace_back(static_cast<float>(p.mm.x()), static_cast<float>(p.mm.y()));
  const cv::RotatedRect theirs = cv::fitEllipse(same);
  const auto ours = fit_round(points, 0.05);
  ASSERT_TRUE(ours);
  EXPECT_NEAR(2 * ours->radius, 0.5 * static_cast<double>(theirs.size.width + theirs.size.height), 0.01);
  EXPECT_NEAR(4 * ours->oval(), static_cast<double>(theirs.size.height - theirs.size.width), 0.05);
  EXPECT_NEAR(ours->centre.x(), static_cast<double>(theirs.center.x), 0.01);
  EXPECT_NEAR(ours->centre.y(), static_cast<double>(theirs.center.y), 0.01);
}

TEST(RoundFit, ChipsAreLeftOut) {
  auto points = ring({0, 0}, 30, 30, 0, 200, 0.02, 6);
  for (std::size_t i = 20; i < 60; ++i) points[i].mm *= 1.06;
  const auto fit = fit_round(points, 0.012);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(2 * fit->radius, 30, 0.05);
  EXPECT_FALSE(fit->inlier[40]);
  EXPECT_TRUE(fit->inlier[120]);
}

TEST(RoundFit, NothingForTooFewOrForALine) {
  EXPECT_FALSE(fit_round({{{0, 0}, 1}, {{1, 0}, 1}}, 0.01));
  EXPECT_FALSE(circle_through({0, 0}, {1, 1}, {2, 2}));
  const auto circle = circle_through({1, 0}, {0, 1}, {-1, 0});
  ASSERT_TRUE(circle);
  EXPECT_NEAR(circle->radius, 1, 1e-12);
}

// The stated uncertainty of the radius against the scatter of 300 fits.
TEST(RoundFit, UncertaintyAgreesWithMonteCarlo) {
  double sum = 0, squares = 0, stated = 0;
  const int n = 300;
  for (int i = 0; i < n; ++i) {
    const auto fit = fit_round(ring({3, 4}, 25, 25, 0, 144, 0.1, static_cast<unsigned>(100 + i)), 0.012);
    ASSERT_TRUE(fit);
    sum += fit->radius / n;
    squares += fit->radius * fit->radius / n;
    stated += fit->u_radius / n;
  }
  EXPECT_NEAR(std::sqrt(squares - sum * sum) / stated, 1, 0.25);
  EXPECT_NEAR(sum, 12.5, 0.01);
}

TEST(RoundFit, FewWeightedPointsKeepTheirStatedDoubt) {
  auto points = ring({0, 0}, 20, 20, 0, 6, 0, 1);
  for (RimPoint& p : points) p.u = 0.3;
  const auto fit = fit_round_weighted(points, 0.012);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->radius, 10, 1e-6);
  EXPECT_NEAR(fit->u_radius, 0.3 / std::sqrt(6), 0.03);
}

}  // namespace
}  // namespace spile::vision
