// Comparing two photos of one opening. Truth: the renderer's own list of changes (tests/data/rendered, path
// traced by a program of other make), and pictures changed here in ways that change nothing on the hull.
#include "vision/compare.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

using nlohmann::json;
using testing::IsEmpty;

const std::string kFolder = std::string(SPILE_SOURCE_DIR) + "/tests/data/rendered/";

Picture photo(const std::string& name) {
  auto picture = Picture::load(kFolder + name + ".jpg");
  EXPECT_TRUE(picture.has_value()) << name;
  return *picture;
}

json truth(const std::string& name) {
  std::ifstream in(kFolder + name + ".json");
  return json::parse(in);
}

CardReference card_of(const json& truth) {
  const auto& r = truth["reference"];
  return {r["marker_size_mm"], r["rect_mm"][0], r["rect_mm"][1]};
}

Comparison compared(const std::string& earlier, const std::string& later) {
  return compare(photo(earlier), photo(later), {card_of(truth(earlier)), card_of(truth(later))});
}

// Pixel of the upright picture out of one of the stored raster.
PixelPoint upright(const json& truth, const json& p) {
  const auto& m = truth["M_stored_to_displayed"];
  const double x = p[0], y = p[1];
  return {m[0][0].get<double>() * x + m[0][1].get<double>() * y + m[0][2].get<double>(),
          m[1][0].get<double>() * x + m[1][1].get<double>() * y + m[1][2].get<double>()};
}

PixelPoint middle(const json& truth, const json& points) {
  PixelPoint sum;
  for (const auto& p : points) {
    const PixelPoint at = upright(truth, p);
    sum = {sum.x + at.x / static_cast<double>(points.size()),
           sum.y + at.y / static_cast<double>(points.size())};
  }
  return sum;
}

const Change* nearest(const Comparison& comparison, const std::string& kind, const PixelPoint& to) {
  const Change* best = nullptr;
  double least = 60;
  for (const Change& change : comparison.changes) {
    const double away = std::hypot(change.centre_px.x - to.x, change.centre_px.y - to.y);
    if (change.kind == kind && away < least) {
      least = away;
      best = &change;
    }
  }
  return best;
}

class SeasonPair : public testing::TestWithParam<const char*> {};

// The bars: crack length within 10 %, stain area within 15 %, alignment at most 1 px, at most one false
// change.
TEST_P(SeasonPair, TheChangesOfTheRenderersListAreFoundAndSized) {
  const std::string before = std::string(GetParam()) + "_a", after = std::string(GetParam()) + "_b";
  const Comparison found = compared(before, after);
  ASSERT_FALSE(found.refused) << found.refused->reason;
  EXPECT_TRUE(found.aligned);
  EXPECT_LE(found.residual_px, 1.0);
  const json later = truth(after);
  std::size_t true_changes = 0;
  for (const auto& change : later["pair"]["changes"]) {
    ++true_changes;
    if (change["type"] == "new_crack") {
      const auto* crack = nearest(found, "crack", middle(later, change["polyline_px"]));
      ASSERT_NE(crack, nullptr);
      const double length = change["length_mm"];
      EXPECT_NEAR(*crack->length_mm, length, 0.1 * length);
      EXPECT_LE(std::abs(*crack->length_mm - length), crack->u95);
    } else if (change["type"] == "stain_grew") {
      const auto* stain = nearest(found, "stain", middle(later, change["outline_after_px"]));
      ASSERT_NE(stain, nullptr);
      const double area = change["area_after_mm2"];
      EXPECT_NEAR(*stain->area_mm2, area, 0.15 * area);
      EXPECT_LE(std::abs(*stain->area_mm2 - area), stain->u95);
      EXPECT_TRUE(stain->earlier_area_mm2.has_value()) << "the stain was there before";
    } else {
      EXPECT_NE(nearest(found, "chip", upright(later, change["rim_point_px"])), nullptr);
    }
  }
  EXPECT_LE(found.changes.size(), true_changes + 1);
}

INSTANTIATE_TEST_SUITE_P(Rendered, SeasonPair, testing::Values("season_pair_01", "season_pair_02"));

Picture encoded(const cv::Mat& bgr, const std::string& name) {
  std::vector<std::uint8_t> bytes;
  cv::imencode(".jpg", bgr, bytes, {cv::IMWRITE_JPEG_QUALITY, 90});
  return *Picture::decode(bytes, name);
}

// The same hull from another angle, in other light, with a shadow across it: nothing has changed.
cv::Mat photographed_again(const cv::Mat& bgr, double turn_deg, double gain, bool shadow) {
  cv::Mat light;
  bgr.convertTo(light, CV_32FC3, gain);
  if (shadow) {
    cv::Mat mask(bgr.size(), CV_32FC1, cv::Scalar(1));
    const std::vector<cv::Point> bar{
        {0, bgr.rows / 3}, {bgr.cols, bgr.rows / 2}, {bgr.cols, 2 * bgr.rows / 3}, {0, bgr.rows / 2}};
    cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{bar}, cv::Scalar(0.6));
    cv::GaussianBlur(mask, mask, cv::Size(), 4);
    cv::merge(std::vector<cv::Mat>(3, mask), mask);
    light = light.mul(mask);
  }
  const cv::Point2f middle(0.5F * static_cast<float>(bgr.cols), 0.5F * static_cast<float>(bgr.rows));
  cv::Mat turn;
  cv::Mat(cv::Mat::eye(3, 3, CV_64F)).copyTo(turn);
  cv::getRotationMatrix2D(middle, turn_deg, 0.93).copyTo(turn.rowRange(0, 2));
  turn.at<double>(2, 0) = 3e-5;  // seen a little from the side
  cv::Mat out;
  cv::warpPerspective(light, out, turn, bgr.size(), cv::INTER_CUBIC, cv::BORDER_REPLICATE);
  out.convertTo(out, CV_8UC3);
  return out;
}

TEST(Compare, OtherLightAShadowAndAnotherAngleAreNoChange) {
  for (const char* name : {"season_pair_01_a", "season_pair_02_a"}) {
    const cv::Mat bgr = cv::imread(kFolder + name + ".jpg");  // upright
    const CardReference card = card_of(truth(name));
    for (const bool shadow : {false, true}) {
      const auto found =
          compare(photo(name), encoded(photographed_again(bgr, 17, 0.85, shadow), "again"), {card, card});
      ASSERT_FALSE(found.refused) << name << ": " << found.refused->reason;
      EXPECT_THAT(found.changes, IsEmpty()) << name << (shadow ? " with" : " without") << " a shadow";
      EXPECT_LE(found.residual_px, 1.0);
    }
  }
}

TEST(Compare, AnotherHullIsNotLaidOnThisOne) {
  const auto found = compared("season_pair_01_a", "season_pair_02_b");
  ASSERT_TRUE(found.refused);
  EXPECT_FALSE(found.aligned);
  EXPECT_THAT(found.refused->code, testing::AnyOf("not-aligned", "nothing-found"));
  EXPECT_FALSE(found.refused->reason.empty());
}

TEST(Compare, APhotoWithoutReferenceIsNamed) {
  const cv::Mat plain(600, 800, CV_8UC3, cv::Scalar(120, 130, 140));
  const auto found = compare(encoded(plain, "plain"), photo("season_pair_01_b"), {});
  ASSERT_TRUE(found.refused);
  EXPECT_THAT(found.refused->reason, testing::HasSubstr("earlier"));
}

TEST(Compare, StopsWhenAskedTo) {
  const auto found = compare(photo("season_pair_01_a"), photo("season_pair_01_b"), {}, [] { return true; });
  ASSERT_TRUE(found.refused);
  EXPECT_EQ(found.refused->code, "cancelled");
}

}  // namespace
}  // namespace spile::vision
