// What a photo shows when nobody said: holes, a fitting, a cut edge, or nothing. Truth: what was drawn
// (tests/scenes).
#include <gtest/gtest.h>

#include "scenes/draw.hpp"
#include "vision/measure.hpp"

namespace spile::vision {
namespace {

Report seen_in(scenes::Kind kind, std::uint64_t number) {
  const auto scene = scenes::draw(kind, number);
  const auto picture = Picture::decode(scenes::take(scene.scene, scene.camera).jpeg, "drawn.jpg");
  Request request;
  request.reference = CardReference{};
  return picture ? measure(*picture, request) : Report{};
}

TEST(SubjectByItself, FlangeAndItsBoreAreAFittingAndNoHoles) {
  for (const std::uint64_t number : {300, 304, 309}) {
    const Report report = seen_in(scenes::Kind::FlangeWithCard, number);
    EXPECT_TRUE(report.fitting) << number;
    EXPECT_TRUE(report.holes.empty()) << number;
    EXPECT_FALSE(report.edge) << number;
  }
}

TEST(SubjectByItself, CutEdgeIsAnEdge) {
  const Report report = seen_in(scenes::Kind::EdgeWithCard, 303);
  EXPECT_TRUE(report.edge);
  EXPECT_TRUE(report.holes.empty());
  EXPECT_FALSE(report.fitting);
}

// 301: a ring of old bedding round the hole, a ring of bare hull in between.
TEST(SubjectByItself, HoleIsAHoleAlsoWithinARingOfBedding) {
  for (const std::uint64_t number : {301, 304, 309}) {
    const Report report = seen_in(scenes::Kind::HoleWithCard, number);
    EXPECT_EQ(report.holes.size(), 1u) << number;
    EXPECT_FALSE(report.fitting) << number;
    EXPECT_FALSE(report.edge) << number;
  }
}

TEST(SubjectByItself, NothingBesideTheCardIsNothingFound) {
  const Report report = seen_in(scenes::Kind::CardWithoutHole, 300);
  ASSERT_TRUE(report.refused);
  EXPECT_EQ(report.refused->code, "nothing-found");
}

}  // namespace
}  // namespace spile::vision
