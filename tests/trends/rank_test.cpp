// The exact rank test against its published table, and where grades are tied against counting every order.
#include "trends/rank.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace spile::trends {
namespace {

std::vector<int> untied(int n) {
  std::vector<int> grades(static_cast<std::size_t>(n));
  std::iota(grades.begin(), grades.end(), 1);
  return grades;
}

struct Row {
  int n, score;
  double chance;
  double within;  // half of the last digit printed
};

// From memory: M. G. Kendall, Rank Correlation Methods, appendix table 1 (the chance that S attains or
// exceeds a value), reprinted as table A18 of R. O. Gilbert, Statistical Methods for Environmental Pollution
// Monitoring.
TEST(KendallTest, MeetsThePublishedTable) {
  const std::vector<Row> rows = {
      {4, 0, 0.625, 5e-4},   {4, 2, 0.375, 5e-4},   {4, 4, 0.167, 5e-4},   {4, 6, 0.042, 5e-4},
      {5, 0, 0.592, 5e-4},   {5, 2, 0.408, 5e-4},   {5, 4, 0.242, 5e-4},   {5, 6, 0.117, 5e-4},
      {5, 8, 0.042, 5e-4},   {5, 10, 0.0083, 5e-5}, {6, 1, 0.500, 5e-4},   {6, 3, 0.360, 5e-4},
      {6, 5, 0.235, 5e-4},   {6, 7, 0.136, 5e-4},   {6, 9, 0.068, 5e-4},   {6, 11, 0.028, 5e-4},
      {6, 13, 0.0083, 5e-5}, {6, 15, 0.0014, 5e-5}, {7, 1, 0.500, 5e-4},   {7, 3, 0.386, 5e-4},
      {7, 5, 0.281, 5e-4},   {7, 7, 0.191, 5e-4},   {7, 9, 0.119, 5e-4},   {7, 11, 0.068, 5e-4},
      {7, 13, 0.035, 5e-4},  {7, 15, 0.015, 5e-4},  {7, 17, 0.0054, 5e-5}, {7, 19, 0.0014, 5e-5},
      {8, 0, 0.548, 5e-4},   {8, 8, 0.199, 5e-4},   {8, 12, 0.089, 5e-4},  {8, 16, 0.031, 5e-4},
      {8, 20, 0.0071, 5e-5}, {9, 14, 0.090, 5e-4},  {9, 18, 0.038, 5e-4},  {10, 15, 0.108, 5e-4},
      {10, 21, 0.036, 5e-4}, {10, 25, 0.014, 5e-4}};
  for (const auto& row : rows)
    EXPECT_NEAR(kendall_score_above(row.score, untied(row.n)), row.chance, row.within)
        << "n " << row.n << ", S " << row.score;
}

// With ties no table is printed: every distinct order is laid out and counted.
TEST(KendallTest, WithTiesIsWhatCountingEveryOrderGives) {
  for (std::vector<int> grades : {std::vector<int>{1, 1, 1, 2, 2, 3},
                                  {1, 1, 2, 2, 3, 3, 4},
                                  {1, 2, 2, 2, 2, 2, 2, 4},
                                  {2, 2, 2, 2},
                                  {1, 1, 1, 1, 4, 4, 4}}) {
    std::sort(grades.begin(), grades.end());
    const std::vector<int> sorted = grades;
    std::vector<int> scores;
    do scores.push_back(kendall_score(grades));
    while (std::next_permutation(grades.begin(), grades.end()));
    const int most = *std::max_element(scores.begin(), scores.end());
    for (int s = -most; s <= most; ++s) {
      const auto above = std::count_if(scores.begin(), scores.end(), [s](int score) { return score >= s; });
      EXPECT_NEAR(kendall_score_above(s, sorted),
                  static_cast<double>(above) / static_cast<double>(scores.size()), 1e-12)
          << s;
    }
  }
}

// Kendall, as above, chapter 4: var S = (n (n - 1) (2 n + 5) - sum over ties of t (t - 1) (2 t + 5)) / 18.
TEST(KendallTest, HasThePublishedVarianceWithTiesInLongSeries) {
  std::vector<int> grades;
  for (const auto& [grade, count] : {std::pair{1, 7}, {2, 5}, {3, 6}, {4, 2}})
    grades.insert(grades.end(), static_cast<std::size_t>(count), grade);
  double variance = 20.0 * 19 * 45;
  for (const double t : {7.0, 5.0, 6.0, 2.0}) variance -= t * (t - 1) * (2 * t + 5);
  variance /= 18;
  double second_moment = 0;
  for (int s = -190; s <= 190; ++s)
    second_moment += s * s * (kendall_score_above(s, grades) - kendall_score_above(s + 1, grades));
  EXPECT_NEAR(second_moment, variance, 1e-9 * variance);
}

TEST(KendallTest, TurnedRoundIsAsLikely) {
  const std::vector<int> grades = {1, 2, 1, 3, 3, 4, 4};
  std::vector<int> back(grades.rbegin(), grades.rend());
  EXPECT_EQ(kendall_score(grades), -kendall_score(back));
  EXPECT_DOUBLE_EQ(kendall_two_sided(grades), kendall_two_sided(back));
  EXPECT_DOUBLE_EQ(kendall_two_sided(std::vector<int>{2, 2, 2, 2, 2, 2}), 1);
}

}  // namespace
}  // namespace spile::trends
