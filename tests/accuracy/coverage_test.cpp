// 95 % intervals against the truth of random scenes drawn from stated priors (scenes/draw.hpp): common
// practice in checking statements of uncertainty. The bars themselves, on 500 scenes and class by class, are
// read off `spile_bench --part coverage`; these few scenes tell a broken budget or a broken search from
// chance.
#include <gtest/gtest.h>

#include <cmath>

#include "accuracy/tally.hpp"

namespace spile::accuracy {
namespace {

constexpr int kScenes = 100;

TEST(Coverage, IntervalsBesideTheCardHoldTheTruthAboutAsOftenAsTheyClaim) {
  const auto tallies = tallied(run_trials(scenes::Kind::HoleWithCard, 1, kScenes));
  const Tally& all = tallies.front();
  EXPECT_GE(all.answered, kScenes * 95 / 100) << markdown(tallies);
  const Limits limits = binomial_limits(90, 99, all.answered);
  EXPECT_GE(all.held_pct(), limits.from_pct) << markdown(tallies);
  EXPECT_LE(all.held_pct(), limits.to_pct) << markdown(tallies);
}

TEST(Coverage, LimitsAreThoseOfTheBinomialDistribution) {
  // By hand: 2.6 sqrt(90 * 10 / 100) = 7.8 and 2.6 sqrt(99 * 1 / 100) = 2.6, cut off at all of them.
  EXPECT_NEAR(binomial_limits(90, 99, 100).from_pct, 82.2, 1e-9);
  EXPECT_NEAR(binomial_limits(90, 99, 100).to_pct, 100, 1e-9);
  EXPECT_NEAR(binomial_limits(93, 97, 2500).to_pct, 97 + 2.6 * std::sqrt(97.0 * 3 / 2500), 1e-9);
}

}  // namespace
}  // namespace spile::accuracy
