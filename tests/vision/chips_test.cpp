// Chips in a hole's rim: drawn pictures whose chips are known. Truth: the scene's own numbers (tests/scenes).
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "scenes/draw.hpp"
#include "vision/measure.hpp"

namespace spile::vision {
namespace {

struct Seen {
  scenes::Scene scene;
  scenes::Camera camera;
  Report report;
};

Seen seen(scenes::Scene scene, const scenes::Camera& camera) {
  const auto photo = scenes::take(scene, camera);
  Request request;
  request.subject = Subject::Hole;
  request.reference = CardReference{};
  const auto picture = Picture::decode(photo.jpeg, "drawn.jpg");
  Seen out{std::move(scene), camera, {}};
  if (picture) out.report = measure(*picture, request);
  return out;
}

// A dark hull, so that the broken laminate shows.
Seen hole_with(const std::vector<scenes::Chip>& chips, double crack_at_deg = -1) {
  auto [scene, camera] = scenes::draw(scenes::Kind::HoleWithCard, 3000);
  scene.hull = scenes::Hull::Dark;
  scene.cracks.clear();
  scene.holes[0].chips = chips;
  if (crack_at_deg >= 0) {
    const double a = crack_at_deg * std::numbers::pi / 180, r = scene.holes[0].diameter_mm / 2;
    scene.cracks.push_back({r * std::cos(a), r * std::sin(a), crack_at_deg, 9, 0.6, 0.2});
  }
  return seen(std::move(scene), camera);
}

TEST(Chips, EachIsFoundWhereItIsWithAnIntervalThatHoldsItsDepth) {
  const auto [scene, camera, report] = hole_with({{20, 4, 1.2}, {130, 5, 2.0}, {250, 3, 0.9}});
  ASSERT_EQ(report.holes.size(), 1U);
  const Hole& hole = report.holes[0];
  ASSERT_EQ(hole.chips.size(), 3U);
  const scenes::Chip by_depth[] = {{130, 5, 2.0}, {20, 4, 1.2}, {250, 3, 0.9}};
  for (std::size_t i = 0; i < 3; ++i) {
    const scenes::Chip& truth = by_depth[i];
    const double a = truth.at_deg * std::numbers::pi / 180,
                 r = scene.holes[0].diameter_mm / 2 + truth.depth_mm / 2;
    const auto px = scenes::project(camera, r * std::cos(a), r * std::sin(a), 0);
    const double mm_per_px = report.reference->mm_per_px;
    EXPECT_LT(std::hypot(hole.chips[i].centre_px.x - px.x, hole.chips[i].centre_px.y - px.y) * mm_per_px,
              0.5 * truth.width_mm);
    EXPECT_NEAR(hole.chips[i].depth_mm, truth.depth_mm, hole.chips[i].u95_mm);
    EXPECT_LT(hole.chips[i].u95_mm, 0.4 * truth.depth_mm + 0.15);
    EXPECT_NEAR(hole.chips[i].width_mm, truth.width_mm, 0.35 * truth.width_mm);
  }
  EXPECT_DOUBLE_EQ(hole.edge_damage_mm, hole.chips[0].depth_mm);
}

TEST(Chips, TheDiameterLeavesThemOut) {
  const auto whole = hole_with({}).report, chipped = hole_with({{20, 4, 1.2}, {130, 5, 2.0}}).report;
  ASSERT_EQ(whole.holes.size(), 1U);
  ASSERT_EQ(chipped.holes.size(), 1U);
  EXPECT_TRUE(whole.holes[0].chips.empty());
  EXPECT_NEAR(chipped.holes[0].diameter_mm, whole.holes[0].diameter_mm, 0.003 * whole.holes[0].diameter_mm);
}

TEST(Chips, ACrackThatRunsOutFromTheRimIsNone) {
  const auto report = hole_with({}, 40).report;
  ASSERT_EQ(report.holes.size(), 1U);
  EXPECT_TRUE(report.holes[0].chips.empty());
}

// Whole rims on every kind of hull, in the light, shadows and old sealant of random scenes.
class WholeRim : public ::testing::TestWithParam<int> {};

TEST_P(WholeRim, HasNoChips) {
  scenes::Priors priors;
  priors.chips = 0;
  auto [scene, camera] =
      scenes::draw(scenes::Kind::HoleWithCard, static_cast<std::uint64_t>(GetParam()), priors);
  scene.hull =
      std::array{scenes::Hull::White, scenes::Hull::Dark, scenes::Hull::BareLaminate, scenes::Hull::Timber}
          .at(static_cast<std::size_t>(GetParam()) % 4);
  for (const Hole& hole : seen(std::move(scene), camera).report.holes) {
    EXPECT_DOUBLE_EQ(hole.edge_damage_mm, 0);
    EXPECT_TRUE(hole.chips.empty());
  }
}

INSTANTIATE_TEST_SUITE_P(Drawn, WholeRim, ::testing::Range(700, 712));

}  // namespace
}  // namespace spile::vision
