// Sheets and cards of known size as the reference: sizes from memory, ISO/IEC 7810 (ID-1) and ISO 216.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "card_scene.hpp"
#include "picture_files.hpp"
#include "vision/measure.hpp"

namespace spile::vision {
namespace {

using testing::CardScene;
using testing::drawn;
using testing::encoded;
using testing::pixel_of;

constexpr double kCardW = 85.6, kCardH = 53.98, kCardCorner = 3.18, kCardThick = 0.76;

Picture photo_of(const CardScene& s) {
  return *Picture::decode(encoded(drawn(s), ".png"), "scene");
}

// A bank card with rounded corners, without markers.
CardScene bank_card(double tilt, double azimuth) {
  CardScene s;
  s.card = false;
  s.sheet_w = kCardW;
  s.sheet_h = kCardH;
  s.sheet_corner = kCardCorner;
  s.tilt_deg = tilt;
  s.azimuth_deg = azimuth;
  s.hole_x = 72;
  return s;
}

Request sheet_request(double w, double h) {
  Request request;
  request.subject = Subject::Hole;
  request.reference = SquareReference{w, h, {}, {}};
  return request;
}

// The drawn card is flat in the hull: read as standing its thickness above it, holes come out larger by that
// over the distance.
double expected_mm(const CardScene& s) {
  return s.hole_mm * (1 + kCardThick / s.distance_mm);
}

class OnBankCard : public ::testing::TestWithParam<std::pair<double, double>> {};

TEST_P(OnBankCard, IsFoundByItselfAndGivesTheScale) {
  const CardScene s = bank_card(GetParam().first, GetParam().second);
  for (const auto& [w, h] : {std::pair{kCardW, kCardH}, {kCardH, kCardW}}) {
    const Report report = measure(photo_of(s), sheet_request(w, h));
    ASSERT_FALSE(report.refused) << report.refused->reason;
    EXPECT_EQ(report.reference->kind, "square");
    EXPECT_FALSE(report.reference->by_hand);
    EXPECT_NEAR(report.reference->tilt_deg, s.tilt_deg, 2);
    ASSERT_EQ(report.holes.size(), 1U);
    EXPECT_NEAR(report.holes[0].diameter_mm, expected_mm(s),
                std::max(0.003 * s.hole_mm, report.holes[0].u95_mm));
    EXPECT_LT(report.holes[0].u95_mm, 0.02 * s.hole_mm);
  }
}

INSTANTIATE_TEST_SUITE_P(Tilts, OnBankCard,
                         ::testing::Values(std::pair{3.0, 0.0}, std::pair{20.0, 60.0},
                                           std::pair{30.0, 200.0}));

TEST(Sheet, IsTakenWhereItIsPointedAt) {
  const CardScene s = bank_card(20, 30);
  Request request = sheet_request(kCardW, kCardH);
  const cv::Point2d on = pixel_of(s, 5, 5);
  std::get<SquareReference>(request.reference).at = PixelPoint{on.x, on.y};
  EXPECT_FALSE(measure(photo_of(s), request).refused);
  const cv::Point2d beside = pixel_of(s, 0, 60);
  std::get<SquareReference>(request.reference).at = PixelPoint{beside.x, beside.y};
  const Report report = measure(photo_of(s), request);
  ASSERT_TRUE(report.refused);
  EXPECT_EQ(report.refused->code, "no-reference");
}

TEST(Sheet, CornersPlacedByHandAreMovedToItsSidesAndSaySo) {
  const CardScene s = bank_card(20, 60);
  Request request = sheet_request(kCardW, kCardH);
  auto& corners = std::get<SquareReference>(request.reference).corners;
  for (const auto& [x, y] : {std::pair{-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}, {-0.5, -0.5}}) {
    const cv::Point2d p = pixel_of(s, x * kCardW, y * kCardH);
    corners.push_back({p.x + 3, p.y - 2});
  }
  const Report report = measure(photo_of(s), request);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  EXPECT_TRUE(report.reference->by_hand);
  EXPECT_THAT(parts_by_hand(report), ::testing::ElementsAre("reference"));
  EXPECT_NEAR(report.holes.at(0).diameter_mm, expected_mm(s),
              std::max(0.003 * s.hole_mm, report.holes[0].u95_mm));
}

TEST(Sheet, OneOfAnotherShapeIsNone) {
  const CardScene s = bank_card(10, 0);
  const Report report = measure(photo_of(s), sheet_request(100, 30));
  ASSERT_TRUE(report.refused);
  EXPECT_EQ(report.refused->code, "no-reference");
}

// A plain rectangle of unknown size gives no scale by itself.
// (The scene's flat round spot may be a coin for all the engine knows, and is then asked about.)
TEST(Sheet, IsNeverTakenUnasked) {
  const CardScene s = bank_card(10, 0);
  const Report report = measure(photo_of(s), Request{});
  ASSERT_TRUE(report.refused);
  EXPECT_THAT(report.refused->code, ::testing::AnyOf("no-reference", "ambiguous-reference"));
  EXPECT_TRUE(report.holes.empty());
}

CardScene card_and_sheet(double sheet_scale) {
  CardScene s;
  s.tilt_deg = 12;
  s.hole = false;
  s.sheet_w = 170 * sheet_scale;  // the card lies on it
  s.sheet_h = 120 * sheet_scale;
  s.sheet = cv::Scalar(40, 60, 60);
  s.aim_x = 0;
  s.distance_mm = 300;
  return s;
}

// Two references in one photo: one scale, one small slip, one that cannot be.
TEST(TwoReferences, AreCheckedAgainstEachOther) {
  Request request;
  request.reference = CardReference{};
  request.check = SquareReference{170, 120, {}, {}};
  request.subject = Subject::Hole;
  request.rim_by_hand = {{700, 600}, {800, 500}, {900, 600}};
  request.snap_to_edges = false;
  const Report good = measure(photo_of(card_and_sheet(1)), request);
  ASSERT_FALSE(good.refused) << good.refused->reason;
  EXPECT_THAT(good.reference->checked, ::testing::HasSubstr("agree within"));
  EXPECT_TRUE(good.warnings.empty());
  const Report off = measure(photo_of(card_and_sheet(1.03)), request);
  ASSERT_FALSE(off.refused) << off.refused->reason;
  EXPECT_TRUE(off.reference->checked.empty());
  EXPECT_THAT(off.warnings, ::testing::ElementsAre(::testing::HasSubstr("disagree by")));
  EXPECT_GT(off.reference->rel_u95, 0.03);
  const Report wrong = measure(photo_of(card_and_sheet(1.1)), request);
  ASSERT_TRUE(wrong.refused);
  EXPECT_EQ(wrong.refused->code, "ambiguous-reference");
}

// An A4 sheet as a phone saw it; its corners were read off the picture by eye. Skipped without ../shared.
TEST(Sheet, A4OfARealPhotoIsFound) {
  const std::filesystem::path file = std::filesystem::path(SPILE_SOURCE_DIR) / ".." / "shared" / "photos" /
                                     "real" / "sheet_euro" / "recta.jpeg";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no photo " << file;
  const auto picture = Picture::load(file);
  ASSERT_TRUE(picture);
  Request request = sheet_request(210, 297);
  request.subject = Subject::Disc;
  request.at = {{350.8, 648.8}};
  const Report report = measure(*picture, request);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  // Source: European Commission, common sides of euro coins: 5 cent 21.25 mm (from memory).
  ASSERT_EQ(report.holes.size(), 1U);
  EXPECT_NEAR(report.holes[0].diameter_mm, 21.25, 0.03 * 21.25);
}

}  // namespace
}  // namespace spile::vision
