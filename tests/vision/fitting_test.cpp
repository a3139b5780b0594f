// Flanges and nuts: drawn pictures with known truth. Truth: the scene's own numbers (tests/scenes).
#include <gtest/gtest.h>

#include <cmath>

#include "scenes/draw.hpp"
#include "vision/measure.hpp"

namespace spile::vision {
namespace {

struct Drawn {
  scenes::Scene scene;
  Report report;
};

Drawn drawn(scenes::Kind kind, std::uint64_t number) {
  auto [scene, camera] = scenes::draw(kind, number);
  const auto photo = scenes::take(scene, camera);
  const auto picture = Picture::decode(photo.jpeg, "drawn.jpg");
  Request request;
  request.subject = Subject::Fitting;
  request.reference = CardReference{};
  Drawn out{std::move(scene), {}};
  if (picture) out.report = measure(*picture, request);
  return out;
}

class FlatFlange : public ::testing::TestWithParam<std::uint64_t> {};

// A plate's face lies its thickness nearer to the camera than the hull.
TEST_P(FlatFlange, ItsThicknessIsInItsInterval) {
  const auto [scene, report] = drawn(scenes::Kind::FlangeWithCard, GetParam());
  ASSERT_TRUE(report.fitting);
  EXPECT_FALSE(report.fitting->hexagon);
  EXPECT_NEAR(report.fitting->flange_mm, scene.flange->diameter_mm, report.fitting->flange_u95_mm);
  EXPECT_LT(report.fitting->flange_u95_mm, 0.05 * scene.flange->diameter_mm);
}

INSTANTIATE_TEST_SUITE_P(Drawn, FlatFlange, ::testing::Values(13, 16, 19, 22));

class Nut : public ::testing::TestWithParam<std::uint64_t> {};

TEST_P(Nut, SizeAcrossItsFlatsIsInTheInterval) {
  const auto [scene, report] = drawn(scenes::Kind::NutWithCard, GetParam());
  ASSERT_TRUE(report.fitting);
  ASSERT_TRUE(report.fitting->hexagon);
  const Hexagon& hexagon = *report.fitting->hexagon;
  EXPECT_NEAR(hexagon.across_flats_mm, scene.nut->across_flats_mm, hexagon.u95_mm);
  EXPECT_LT(hexagon.u95_mm, 0.05 * scene.nut->across_flats_mm);
  EXPECT_EQ(hexagon.corners.size(), 6U);
}

INSTANTIATE_TEST_SUITE_P(Drawn, Nut, ::testing::Values(11, 15, 17, 21));

}  // namespace
}  // namespace spile::vision
