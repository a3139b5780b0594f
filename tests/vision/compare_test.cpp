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

#include "vision/seasons.hpp"

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

// The renderer's own course of the new crack, 18.0 mm long by its list: traced along it by hand.
TEST_P(SeasonPair, ACrackTracedByHandHasTheLengthOfTheRenderersList) {
  const json earlier = truth(std::string(GetParam()) + "_a"), later = truth(std::string(GetParam()) + "_b");
  const auto found = compared(std::string(GetParam()) + "_a", std::string(GetParam()) + "_b");
  ASSERT_FALSE(found.refused) << found.refused->reason;
  for (const json& change : later["pair"]["changes"]) {
    if (change["type"] != "new_crack") continue;
    std::vector<PixelPoint> points, before;
    for (const json& p : change["polyline_px"]) {
      points.push_back(upright(later, p));
      before.push_back(*in_other(found, Season::Later, points.back()));
    }
    const double length = change["length_mm"];
    const auto traced = traced_length(found, Season::Later, points, 1.5);
    ASSERT_TRUE(traced);
    EXPECT_NEAR(traced->length_mm, length, 0.02 * length);
    EXPECT_LE(std::abs(traced->length_mm - length), traced->u95_mm);
    EXPECT_LT(traced->u95_mm, 0.1 * length) << "an interval that says something";
    // The same course where it would have been a season before, by that photo's own reference.
    const auto place = traced_length(found, Season::Earlier, before, 1.5);
    ASSERT_TRUE(place);
    EXPECT_NEAR(place->length_mm, length, 0.03 * length);
    EXPECT_EQ(traced->reference_kind, "card");
  }
}

TEST_P(SeasonPair, APointFoundInTheOtherPhotoIsFoundBackFromThere) {
  const auto found = compared(std::string(GetParam()) + "_a", std::string(GetParam()) + "_b");
  ASSERT_FALSE(found.refused) << found.refused->reason;
  for (const Change& change : found.changes) {
    const auto there = in_other(found, Season::Later, change.centre_px);
    ASSERT_TRUE(there);
    const auto back = in_other(found, Season::Earlier, *there);
    ASSERT_TRUE(back);
    EXPECT_NEAR(back->x, change.centre_px.x, 0.05);
    EXPECT_NEAR(back->y, change.centre_px.y, 0.05);
  }
}

// Where nothing has changed the two must look the same: compared by correlation of luma round the opening.
TEST_P(SeasonPair, TheEarlierPhotoDrawnIntoTheLaterOnesPixelsLiesOnIt) {
  const auto earlier = photo(std::string(GetParam()) + "_a"), later = photo(std::string(GetParam()) + "_b");
  const auto found = compared(std::string(GetParam()) + "_a", std::string(GetParam()) + "_b");
  ASSERT_FALSE(found.refused) << found.refused->reason;
  const Picture drawn = as_seen_later(earlier, later, found);
  ASSERT_EQ(drawn.info().width_px, later.info().width_px);
  ASSERT_EQ(drawn.info().height_px, later.info().height_px);
  const json t = truth(std::string(GetParam()) + "_b");
  const PixelPoint opening = upright(t, t["holes"][0]["center_px"]);
  constexpr int kSide = 400;
  const auto grey = [&](const Picture& picture, int off) {
    const Rgba tile = picture.tile(static_cast<int>(opening.x) - kSide / 2 + off,
                                   static_cast<int>(opening.y) - kSide / 2, kSide, kSide);
    cv::Mat out;
    cv::cvtColor(cv::Mat(tile.height, tile.width, CV_8UC4, const_cast<std::uint8_t*>(tile.pixels.data())),
                 out, cv::COLOR_RGBA2GRAY);
    return out;
  };
  const auto alike = [&](int off) {
    cv::Mat score;
    cv::matchTemplate(grey(drawn, 0), grey(later, off), score, cv::TM_CCOEFF_NORMED);
    return score.at<float>(0, 0);
  };
  EXPECT_GT(alike(0), alike(12));
  EXPECT_GT(alike(0), alike(-12));
}

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

TEST(Compare, APhotoTooBlurredIsRefusedByName) {
  cv::Mat blurred;
  cv::GaussianBlur(cv::imread(kFolder + "season_pair_01_a.jpg"), blurred, cv::Size(), 14);
  const CardReference card = card_of(truth("season_pair_01_a"));
  const auto found = compare(photo("season_pair_01_a"), encoded(blurred, "blurred"), {card, card});
  ASSERT_TRUE(found.refused);
  EXPECT_FALSE(found.aligned);
  EXPECT_THAT(found.refused->reason, testing::HasSubstr("later"));
}

// Only the opening and the card on a hull without a mark on it: they tell where and how large, but not which
// way round.
TEST(Compare, AHullWithNothingOnItCannotBeLaidOnItself) {
  const json t = truth("season_pair_01_a");
  cv::Mat bare = cv::imread(kFolder + "season_pair_01_a.jpg");
  cv::Mat keep = cv::Mat::zeros(bare.size(), CV_8UC1);
  const auto region = [&](const json& points, double grow) {
    std::vector<cv::Point2f> at;
    for (const json& p : points) {
      const PixelPoint u = upright(t, p);
      at.emplace_back(static_cast<float>(u.x), static_cast<float>(u.y));
    }
    cv::Point2f middle;
    for (const auto& p : at) middle += p * (1.0F / static_cast<float>(at.size()));
    std::vector<cv::Point> polygon;
    for (const auto& p : at) polygon.emplace_back(middle + static_cast<float>(grow) * (p - middle));
    std::vector<cv::Point> hull;
    cv::convexHull(polygon, hull);
    cv::fillConvexPoly(keep, hull, cv::Scalar(255));
  };
  region(t["holes"][0]["outline_px"], 1.04);
  region(t["reference"]["card_corners_px"], 1);
  const cv::Mat flat(bare.size(), bare.type(), cv::mean(bare, ~keep));
  flat.copyTo(bare, ~keep);
  const CardReference card = card_of(t);
  const auto found = compare(encoded(bare, "bare"),
                             encoded(photographed_again(bare, 17, 0.9, false), "again"), {card, card});
  ASSERT_TRUE(found.refused);
  EXPECT_EQ(found.refused->code, "not-aligned");
}

TEST(Compare, TheDrawnSheetIsWideAndRefusalsAreDrawnToo) {
  const auto earlier = photo("season_pair_02_a"), later = photo("season_pair_02_b");
  const auto sheet = [&](const Comparison& comparison) {
    const auto png = annotate(earlier, later, comparison);
    EXPECT_TRUE(png.has_value());
    return png ? cv::imdecode(*png, cv::IMREAD_COLOR) : cv::Mat();
  };
  const cv::Mat drawn = sheet(compared("season_pair_02_a", "season_pair_02_b"));
  ASSERT_FALSE(drawn.empty());
  EXPECT_GT(drawn.cols, 1.5 * drawn.rows) << "two panels side by side";
  Comparison refused;
  refused.refused = Refusal{"not-aligned", "Too little of the hull looks the same."};
  EXPECT_FALSE(sheet(refused).empty());
}

TEST(Compare, StopsWhenAskedTo) {
  const auto found = compare(photo("season_pair_01_a"), photo("season_pair_01_b"), {}, [] { return true; });
  ASSERT_TRUE(found.refused);
  EXPECT_EQ(found.refused->code, "cancelled");
}

}  // namespace
}  // namespace spile::vision
