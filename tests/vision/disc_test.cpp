// Coins and washers as the reference and as what is measured, on a path-traced picture with exact truth
// beside it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "vision/ellipse.hpp"
#include "vision/measure.hpp"

namespace spile::vision {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

const std::filesystem::path kData = std::filesystem::path(SPILE_SOURCE_DIR) / "tests/data/rendered";
const std::filesystem::path kShared = std::filesystem::path(SPILE_SOURCE_DIR) / "../shared/photos/rendered";

class CoinTest : public ::testing::Test {
 protected:
  [[nodiscard]] Report measured(const Request& request) const {
    const auto picture = Picture::load(kData / "hole_coin_07.jpg");
    EXPECT_TRUE(picture);
    return measure(*picture, request);
  }
  [[nodiscard]] PixelPoint coin() const {
    const auto& p = truth_["reference"]["center_top_px"];
    return {p[0], p[1]};  // this picture is stored upright
  }
  [[nodiscard]] double coin_mm() const { return truth_["reference"]["diameter_mm"]; }
  [[nodiscard]] const json& truth() const { return truth_; }

 private:
  json truth_ = [] {
    std::ifstream in(kData / "hole_coin_07.json");
    return json::parse(in);
  }();
};

TEST_F(CoinTest, IsFoundByItselfAndGivesTheHoleWithATrueInterval) {
  Request request;
  request.subject = Subject::Hole;
  request.reference = DiscReference{coin_mm(), {}};
  const Report report = measured(request);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  EXPECT_EQ(report.reference->kind, "disc");
  EXPECT_NEAR(report.reference->tilt_deg, truth()["camera"]["pose"]["tilt_deg"].get<double>(), 2);
  ASSERT_EQ(report.holes.size(), 1U);
  const double mean = truth()["holes"][0]["mean_mm"];
  EXPECT_NEAR(report.holes[0].diameter_mm, mean, report.holes[0].u95_mm);
  EXPECT_LT(report.holes[0].u95_mm, 0.05 * mean);
}

TEST_F(CoinTest, AtAPointGivesTheSameScale) {
  Request request;
  request.subject = Subject::Hole;
  request.reference = DiscReference{coin_mm(), {}};
  const Report by_itself = measured(request);
  request.reference = DiscReference{coin_mm(), coin()};
  const Report pointed_at = measured(request);
  ASSERT_FALSE(by_itself.refused || pointed_at.refused);
  EXPECT_NEAR(pointed_at.holes[0].diameter_mm, by_itself.holes[0].diameter_mm,
              0.005 * by_itself.holes[0].diameter_mm);
}

TEST_F(CoinTest, MeasuredByItselfIsAsLargeAsStated) {
  Request request;
  request.subject = Subject::Disc;
  request.reference = DiscReference{coin_mm(), coin()};
  request.at = {coin()};
  const Report report = measured(request);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  ASSERT_EQ(report.holes.size(), 1U);
  EXPECT_EQ(report.holes[0].rim, "disc");
  EXPECT_NEAR(report.holes[0].diameter_mm, coin_mm(), 0.01 * coin_mm());
}

TEST_F(CoinTest, OfUnknownSizeIsNoReference) {
  const Report report = measured({});
  ASSERT_TRUE(report.refused);
  EXPECT_EQ(report.refused->code, "ambiguous-reference");
  EXPECT_THAT(report.refused->reason, HasSubstr("disc:23.25"));
  EXPECT_TRUE(report.holes.empty());
}

TEST(Coin, HolesAloneAreNoDiscOfUnknownSize) {
  if (!std::filesystem::exists(kShared)) GTEST_SKIP() << "needs the pictures in ../shared";
  for (const auto& entry : std::filesystem::directory_iterator(kShared)) {
    const auto name = entry.path().filename().string();
    if (name.rfind("neg_noref", 0) != 0 || entry.path().extension() != ".jpg") continue;
    const auto picture = Picture::load(entry.path());
    ASSERT_TRUE(picture);
    const Report report = measure(*picture, {});
    ASSERT_TRUE(report.refused) << name;
    EXPECT_EQ(report.refused->code, "no-reference") << name;
  }
}

// A circle in space projected point by point: one of the two planes its ellipse allows is the one it lies in.
TEST(Ellipse, AllowsThePlaneItsCircleLiesIn) {
  CameraPrior prior;
  prior.focal_px = 1500;
  prior.centre = Point2(1000, 750);
  for (const double tilt : {0.0, 0.2, 0.5, 0.9}) {
    for (const double towards : {0.3, 2.0, 4.4}) {
      Plane plane;
      plane.focal_px = prior.focal_px;
      plane.centre = prior.centre;
      Eigen::Matrix3d facing = Eigen::Matrix3d::Identity();
      facing(1, 1) = facing(2, 2) = -1;
      plane.rotation =
          Eigen::AngleAxisd(tilt, Point3(std::cos(towards), std::sin(towards), 0)).toRotationMatrix() *
          facing;
      plane.origin = Point3(25, -40, 260);
      std::vector<Point2> seen;
      for (int k = 0; k < 24; ++k) {
        const double a = 2 * M_PI * k / 24;
        seen.push_back(plane.px_from_mm(Point3(12 * std::cos(a), 12 * std::sin(a), 0)));
      }
      const auto ellipse = ellipse_through(seen, plane.px_from_mm(Point3::Zero()), 70);
      ASSERT_TRUE(ellipse);
      const auto planes = planes_of_circle(*ellipse, 12, prior);
      ASSERT_EQ(planes.size(), 2U);
      double nearest = 1e9;
      for (const Plane& found : planes) {
        nearest = std::min(nearest, (found.origin - plane.origin).norm() / 260 +
                                        (found.rotation.col(2) - plane.rotation.col(2)).norm());
      }
      EXPECT_LT(nearest, 1e-3) << "tilt " << tilt << " towards " << towards;
    }
  }
}

}  // namespace
}  // namespace spile::vision
