#include "vision/measure.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "card_scene.hpp"
#include "picture_files.hpp"

namespace spile::vision {
namespace {

using testing::CardScene;
using testing::drawn;
using testing::encoded;
using testing::with_exif;

Picture photo(const cv::Mat& picture, double focal_px = 0) {
  auto bytes = encoded(picture, ".png");
  if (focal_px > 0) {
    Exiv2::ExifData exif;
    const double diagonal = std::hypot(picture.cols, picture.rows);
    exif["Exif.Photo.FocalLengthIn35mmFilm"] =
        static_cast<std::uint16_t>(std::lround(focal_px / diagonal * std::hypot(36, 24)));
    bytes = with_exif(bytes, exif);
  }
  auto decoded = Picture::decode(bytes, "scene");
  EXPECT_TRUE(decoded);
  return *decoded;
}

Request card_request(const CardScene& s) {
  Request request;
  request.subject = Subject::Hole;
  request.reference = CardReference{s.marker_mm, s.rect_w, s.rect_h};
  return request;
}

// The scenes' cards are as thin as their hulls: measured as if the hull lay a card's thickness deeper, holes
// come out larger by that thickness over the distance.
double expected_mm(const CardScene& s) {
  return s.hole_mm * (1 + 0.4 / s.distance_mm);
}

std::string refusal_of(const Report& report) {
  return report.refused ? report.refused->code : "none";
}

struct CardCase {
  int dictionary;
  double tilt, azimuth, hole_mm;
};

class OnCard : public ::testing::TestWithParam<CardCase> {};

// Reference: OpenCV's own markers, laid into the picture by a homography that is known.
TEST_P(OnCard, DiameterIsRightAndWithinItsInterval) {
  CardScene s;
  s.dictionary = GetParam().dictionary;
  s.tilt_deg = GetParam().tilt;
  s.azimuth_deg = GetParam().azimuth;
  s.hole_mm = GetParam().hole_mm;
  const Report report = measure(photo(drawn(s), s.focal), card_request(s));
  ASSERT_EQ(refusal_of(report), "none");
  ASSERT_EQ(report.holes.size(), 1u);
  const Hole& hole = report.holes[0];
  EXPECT_NEAR(hole.diameter_mm, expected_mm(s), 0.003 * s.hole_mm);
  EXPECT_NEAR(hole.diameter_mm, s.hole_mm, hole.u95_mm);
  EXPECT_LT(hole.u95_mm, 0.02 * s.hole_mm);
  EXPECT_LT(hole.ovality_pct, 0.8);
  EXPECT_GT(hole.edge_seen, 0.9);
  const cv::Point2d centre = testing::pixel_of(s, s.hole_x, s.hole_y);
  EXPECT_NEAR(hole.centre_px.x, centre.x, 0.6);
  EXPECT_NEAR(hole.centre_px.y, centre.y, 0.6);
  EXPECT_NEAR(report.reference->tilt_deg, s.tilt_deg, 1);
  EXPECT_GE(hole.outline.size(), 72u);
}

INSTANTIATE_TEST_SUITE_P(Cards, OnCard,
                         ::testing::Values(CardCase{cv::aruco::DICT_4X4_50, 2, 0, 38},
                                           CardCase{cv::aruco::DICT_4X4_50, 25, 60, 22},
                                           CardCase{cv::aruco::DICT_4X4_50, 40, 200, 38},
                                           CardCase{cv::aruco::DICT_APRILTAG_36h11, 15, 120, 38},
                                           CardCase{cv::aruco::DICT_APRILTAG_36h11, 35, 300, 30}));

TEST(Budget, TermsMakeUpTheInterval) {
  const CardScene s;
  const Report report = measure(photo(drawn(s), s.focal), card_request(s));
  ASSERT_EQ(report.holes.size(), 1u);
  double variance = 0;
  for (const auto& term : report.holes[0].budget) variance += term.u * term.u;
  // Law of propagation for uncorrelated inputs and the factor 1.96 at 95 % (JCGM 100:2008, 5.1.2 and G.1).
  EXPECT_NEAR(1.96 * std::sqrt(variance), report.holes[0].u95_mm, 0.02 * report.holes[0].u95_mm);
  EXPECT_TRUE(std::is_sorted(report.holes[0].budget.begin(), report.holes[0].budget.end(),
                             [](const auto& a, const auto& b) { return a.u > b.u; }));
}

TEST(PartOfTheCard, HiddenMarkersWidenTheInterval) {
  CardScene s;
  const double whole = measure(photo(drawn(s), s.focal), card_request(s)).holes.at(0).u95_mm;
  for (const std::set<int>& hidden : {std::set<int>{0}, std::set<int>{0, 3}, std::set<int>{1, 3}}) {
    s.hidden = hidden;
    const Report report = measure(photo(drawn(s), s.focal), card_request(s));
    ASSERT_EQ(refusal_of(report), "none") << hidden.size();
    ASSERT_EQ(report.holes.size(), 1u);
    EXPECT_NEAR(report.holes[0].diameter_mm, s.hole_mm, report.holes[0].u95_mm);
    EXPECT_GE(report.holes[0].u95_mm, 0.95 * whole);
  }
}

TEST(Refusals, NoReference) {
  CardScene s;
  s.card = false;
  const Report report = measure(photo(drawn(s)), card_request(s));
  EXPECT_EQ(refusal_of(report), "no-reference");
  EXPECT_TRUE(report.holes.empty());
  EXPECT_THAT(report.refused->reason, ::testing::HasSubstr("card"));
}

TEST(Refusals, WrongSizesAreNotGuessedAt) {
  CardScene s;
  Request request = card_request(s);
  request.reference = CardReference{12, 50, 32};
  EXPECT_EQ(refusal_of(measure(photo(drawn(s)), request)), "ambiguous-reference");
}

TEST(Refusals, NothingFoundWithoutAHole) {
  CardScene s;
  s.hole = false;
  const Report report = measure(photo(drawn(s)), card_request(s));
  EXPECT_EQ(refusal_of(report), "nothing-found");
  EXPECT_TRUE(report.reference);
}

TEST(Refusals, TooBlurred) {
  CardScene s;
  s.blur_px = 9;
  EXPECT_EQ(refusal_of(measure(photo(drawn(s)), card_request(s))), "too-blurred");
}

// What glare hides cannot be told apart from what is not there: the reason names it, with how much.
TEST(Refusals, GlareAndDarknessAreNamed) {
  CardScene s;
  cv::Mat glare = drawn(s);
  cv::rectangle(glare, {0, 0, glare.cols, glare.rows * 3 / 5}, cv::Scalar::all(255), cv::FILLED);
  const Report burnt_out = measure(photo(glare), card_request(s));
  ASSERT_TRUE(burnt_out.refused);
  EXPECT_THAT(burnt_out.refused->reason, ::testing::ContainsRegex("6[0-9] % of the photo is burnt out"));
  const Report black = measure(photo(drawn(s) * 0.02), card_request(s));
  ASSERT_TRUE(black.refused);
  EXPECT_THAT(black.refused->reason, ::testing::HasSubstr("of the photo is black"));
  s.hole = false;
  const Report plain = measure(photo(drawn(s)), card_request(s));
  ASSERT_TRUE(plain.refused);
  EXPECT_THAT(plain.refused->reason, ::testing::Not(::testing::HasSubstr("photo is")));
}

TEST(Refusals, TooTilted) {
  CardScene s;
  s.tilt_deg = 68;
  s.distance_mm = 220;
  EXPECT_EQ(refusal_of(measure(photo(drawn(s), s.focal), card_request(s))), "too-tilted");
}

TEST(Refusals, ReferenceTooSmall) {
  CardScene s;
  s.distance_mm = 1150;  // markers of 21 pixels
  EXPECT_EQ(refusal_of(measure(photo(drawn(s), s.focal), card_request(s))), "reference-too-small");
}

TEST(Refusals, TwoPointsNeedALength) {
  CardScene s;
  Request request;
  request.reference = PointsReference{{100, 100}, {400, 100}, 0};
  EXPECT_EQ(refusal_of(measure(photo(drawn(s)), request)), "no-reference");
  request.reference = PointsReference{{100, 100}, {105, 100}, 20};
  EXPECT_EQ(refusal_of(measure(photo(drawn(s)), request)), "reference-too-small");
}

TEST(Stopping, IsARefusalOfItsOwn) {
  const CardScene s;
  EXPECT_EQ(refusal_of(measure(photo(drawn(s)), card_request(s), [] { return true; })), "cancelled");
}

// Asked to stop at any stage: never "nothing of known size was found", never half a result.
TEST(Refusals, StoppedAtWhicheverStageItSaysSo) {
  CardScene s;
  const Picture picture = photo(drawn(s));
  int asked = 0;
  ASSERT_FALSE(measure(picture, card_request(s), [&] { return ++asked, false; }).refused);
  ASSERT_GE(asked, 3);
  for (int stage = 1; stage <= asked; ++stage) {
    int now = 0;
    const Report report = measure(picture, card_request(s), [&] { return ++now >= stage; });
    EXPECT_EQ(refusal_of(report), "cancelled") << "asked " << stage << " of " << asked;
    EXPECT_TRUE(report.holes.empty());
  }
}

TEST(Refusals, WhateverGoesWrongIsReported) {
  const CardScene s;
  const auto report =
      measure(photo(drawn(s)), card_request(s), []() -> bool { throw std::runtime_error("out of paper"); });
  ASSERT_TRUE(report.refused);
  EXPECT_EQ(report.refused->code, "unreadable");
  EXPECT_NE(report.refused->reason.find("out of paper"), std::string::npos);
}

TEST(AtAPoint, MeasuresTheRoundThingThere) {
  const CardScene s;
  Request request = card_request(s);
  const cv::Point2d centre = testing::pixel_of(s, s.hole_x + 2, s.hole_y - 3);
  request.at = {{centre.x, centre.y}};
  const Report report = measure(photo(drawn(s), s.focal), request);
  ASSERT_EQ(report.holes.size(), 1u);
  EXPECT_NEAR(report.holes[0].diameter_mm, expected_mm(s), 0.003 * s.hole_mm);
}

std::vector<PixelPoint> clicked_rim(const CardScene& s, double away_mm) {
  std::vector<PixelPoint> out;
  for (const double a : {0.2, 1.4, 2.5, 3.9, 5.2}) {
    const double r = s.hole_mm / 2 + away_mm * std::cos(7 * a);
    const cv::Point2d p = testing::pixel_of(s, s.hole_x + r * std::cos(a), s.hole_y + r * std::sin(a));
    out.push_back({p.x, p.y});
  }
  return out;
}

TEST(ByHand, SnappedPointsLieOnTheRim) {
  const CardScene s;
  Request request = card_request(s);
  request.rim_by_hand = clicked_rim(s, 0.5);
  const Report report = measure(photo(drawn(s), s.focal), request);
  ASSERT_EQ(report.holes.size(), 1u);
  EXPECT_TRUE(report.holes[0].by_hand);
  EXPECT_NEAR(report.holes[0].diameter_mm, s.hole_mm, report.holes[0].u95_mm);
  EXPECT_NEAR(report.holes[0].diameter_mm, expected_mm(s), 0.01 * s.hole_mm);
}

TEST(ByHand, UnsnappedPointsAreTakenAsTheyAre) {
  const CardScene s;
  Request request = card_request(s);
  request.snap_to_edges = false;
  request.rim_by_hand = clicked_rim(s, 0);
  for (PixelPoint& p : request.rim_by_hand) p.x += 30;  // a circle beside the hole, on bare hull
  const Report report = measure(photo(drawn(s), s.focal), request);
  ASSERT_EQ(report.holes.size(), 1u);
  const cv::Point2d centre = testing::pixel_of(s, s.hole_x, s.hole_y);
  EXPECT_NEAR(report.holes[0].centre_px.x, centre.x + 30, 3);
}

TEST(ByHand, PointsInLineAreRefused) {
  const CardScene s;
  Request request = card_request(s);
  request.snap_to_edges = false;
  request.rim_by_hand = {{300, 300}, {400, 300}, {500, 300}};
  EXPECT_EQ(refusal_of(measure(photo(drawn(s), s.focal), request)), "nothing-found");
}

class Stored : public ::testing::TestWithParam<int> {};

// The same scene however the camera stored it: same diameter, same place.
TEST_P(Stored, OrientationChangesNothing) {
  const CardScene s;
  const cv::Mat upright = drawn(s);
  const auto bytes =
      testing::with_orientation(encoded(testing::stored_for(upright, GetParam()), ".png"), GetParam());
  const auto picture = Picture::decode(bytes, "turned");
  ASSERT_TRUE(picture);
  const Report report = measure(*picture, card_request(s));
  ASSERT_EQ(report.holes.size(), 1u);
  const Report plain = measure(photo(upright), card_request(s));
  EXPECT_NEAR(report.holes[0].diameter_mm, plain.holes.at(0).diameter_mm, 1e-6);
  EXPECT_NEAR(report.holes[0].centre_px.x, plain.holes.at(0).centre_px.x, 1e-6);
}

INSTANTIATE_TEST_SUITE_P(Orientations, Stored, ::testing::Range(2, 9));

TEST(Annotate, IsAPictureOfTheSameSize) {
  const CardScene s;
  const Picture picture = photo(drawn(s), s.focal);
  const auto png = annotate(picture, measure(picture, card_request(s)));
  ASSERT_TRUE(png);
  const cv::Mat drawn_on = cv::imdecode(*png, cv::IMREAD_COLOR);
  EXPECT_EQ(drawn_on.cols, s.width);
  EXPECT_EQ(drawn_on.rows, s.height);
  EXPECT_GT(cv::norm(drawn_on, drawn(s), cv::NORM_L1), 0);
}

}  // namespace
}  // namespace spile::vision
