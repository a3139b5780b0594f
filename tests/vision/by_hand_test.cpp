// Points as a careless hand places them, over drawn photos with known truth: the 95 % interval has to hold
// it.
#include <gtest/gtest.h>

#include "placings.hpp"

namespace spile::vision {
namespace {

using testing::misplaced;
using testing::picture_of;
using testing::points_on_rim;
using testing::Random;
using testing::small_scene;
using testing::two_points;

// How many of the answers hold the truth.
struct Held {
  int answered = 0, held = 0, asked = 0;
  void add(std::optional<double> value, double u95, double truth) {
    ++asked;
    if (!value) return;
    ++answered;
    held += std::abs(*value - truth) <= u95 ? 1 : 0;
  }
  [[nodiscard]] double share() const { return answered > 0 ? static_cast<double>(held) / answered : 0; }
};

// Two points beside a hole with the camera tilted up to 30 degrees, its rim marked by hand.
TEST(TwoPoints, TheIntervalOwnsUpToTheTilt) {
  Held held;
  double widest = 0;
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    Random random(seed * 7 + 1);
    const auto drawn = small_scene(scenes::Kind::HoleWithoutReference, seed, {0, 30});
    const scenes::Photo photo = scenes::take(drawn.scene, drawn.camera);
    Request request;
    request.subject = Subject::Hole;
    request.reference = two_points(drawn, random.uniform(0.5, 3), random);
    request.rim_by_hand = points_on_rim(photo.truth.holes[0], 6, 300, 2, random);
    const Report report = measure(picture_of(photo), request);
    const bool answered = !report.refused;
    held.add(answered ? std::optional(report.holes[0].diameter_mm) : std::nullopt,
             answered ? report.holes[0].u95_mm : 0, photo.truth.holes[0].diameter_mm);
    if (answered) widest = std::max(widest, report.holes[0].u95_mm / report.holes[0].diameter_mm);
  }
  EXPECT_GE(held.answered, 13);
  EXPECT_GE(held.share(), 0.85) << held.held << " of " << held.answered;
  EXPECT_LT(widest, 0.16);
}

class CarelessRim : public ::testing::TestWithParam<bool> {};

// Points 1 to 6 pixels off, on arcs of 90 to 300 degrees, snapped and as placed.
TEST_P(CarelessRim, TheIntervalHoldsTheTruth) {
  Held held;
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    Random random(seed * 7 + 1);
    const auto drawn = small_scene(scenes::Kind::HoleWithCard, seed, {0, 30});
    const scenes::Photo photo = scenes::take(drawn.scene, drawn.camera);
    const double sd = random.uniform(1, 6), arc = random.uniform(90, 300);
    Request request;
    request.subject = Subject::Hole;
    request.reference = CardReference{};
    request.snap_to_edges = GetParam();
    request.rim_by_hand = points_on_rim(photo.truth.holes[0], 3 + random.pick(4), arc, sd, random);
    const Report report = measure(picture_of(photo), request);
    if (!report.refused) {
      EXPECT_EQ(parts_by_hand(report), std::vector<std::string>{"rim"});
    }
    held.add(report.refused ? std::nullopt : std::optional(report.holes[0].diameter_mm),
             report.refused ? 0 : report.holes[0].u95_mm, photo.truth.holes[0].diameter_mm);
  }
  EXPECT_GE(held.answered, 9);
  EXPECT_GE(held.share(), 0.85) << held.held << " of " << held.answered;
}

INSTANTIATE_TEST_SUITE_P(Snapped, CarelessRim, ::testing::Bool());

// Two lines on the faces of a cut edge, ends 1 to 6 pixels off.
TEST(CarelessEdge, TheIntervalHoldsTheTruth) {
  Held held;
  for (std::uint64_t seed = 1; seed <= 14; ++seed) {
    Random random(seed * 7 + 1);
    const auto kind = seed % 2 == 0 ? scenes::Kind::EdgeWithRule : scenes::Kind::EdgeWithCard;
    const auto drawn = small_scene(kind, seed, {0, 25});
    const scenes::Photo photo = scenes::take(drawn.scene, drawn.camera);
    const auto& lines = photo.truth.edge->boundaries_px;
    const double sd = random.uniform(1, 6);
    const auto on = [&](std::size_t line, double share) {
      const scenes::Pixel &a = lines[line], &b = lines[line + 1];
      return misplaced({a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)}, sd, random);
    };
    const std::size_t last = lines.size() - 2;
    Request request;
    request.edge_by_hand = {on(0, 0.2), on(0, 0.8), on(last, 0.2), on(last, 0.8)};
    const Report report = measure(picture_of(photo), request);
    held.add(report.edge ? std::optional(report.edge->thickness_mm) : std::nullopt,
             report.edge ? report.edge->u95_mm : 0, photo.truth.edge->thickness_mm);
  }
  EXPECT_GE(held.answered, 9);
  EXPECT_GE(held.share(), 0.8) << held.held << " of " << held.answered;
}

}  // namespace
}  // namespace spile::vision
