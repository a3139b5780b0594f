#include "trends/rank.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

namespace spile::trends {

namespace {

using Chances = std::vector<double>;  // index: number of inversions

// Of pairs out of order when `a` equal things and `b` greater equal things stand in chance order: the last
// one is of the first kind with chance a / (a + b), and then every one of the other kind stands before it.
Chances mixing(std::size_t a, std::size_t b) {
  std::vector<Chances> row(b + 1, Chances{1});  // with none of the first kind
  for (std::size_t i = 1; i <= a; ++i) {
    std::vector<Chances> next(b + 1);
    next[0] = {1};
    for (std::size_t j = 1; j <= b; ++j) {
      const double last_is_first_kind = static_cast<double>(i) / static_cast<double>(i + j);
      Chances chances(i * j + 1, 0.0);
      for (std::size_t k = 0; k < row[j].size(); ++k) chances[k + j] += last_is_first_kind * row[j][k];
      for (std::size_t k = 0; k < next[j - 1].size(); ++k)
        chances[k] += (1 - last_is_first_kind) * next[j - 1][k];
      next[j] = std::move(chances);
    }
    row = std::move(next);
  }
  return row[b];
}

Chances together(const Chances& a, const Chances& b) {
  Chances sum(a.size() + b.size() - 1, 0.0);
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j < b.size(); ++j) sum[i + j] += a[i] * b[j];
  return sum;
}

Chances inversions(std::span<const int> grades) {
  std::map<int, std::size_t> groups;
  for (const int g : grades) ++groups[g];
  Chances all{1};
  std::size_t before = 0;
  for (const auto& [grade, count] : groups) {
    if (before > 0) all = together(all, mixing(before, count));
    before += count;
  }
  return all;
}

}  // namespace

int kendall_score(std::span<const int> grades) {
  int score = 0;
  for (std::size_t i = 0; i < grades.size(); ++i)
    for (std::size_t j = i + 1; j < grades.size(); ++j)
      score += (grades[j] > grades[i]) - (grades[j] < grades[i]);
  return score;
}

double kendall_score_above(int score, std::span<const int> grades) {
  const Chances chances = inversions(grades);
  const int pairs = static_cast<int>(chances.size()) - 1;  // that are not tied
  double above = 0;
  for (int i = 0; i <= pairs; ++i)
    if (pairs - 2 * i >= score) above += chances[static_cast<std::size_t>(i)];
  return std::min(above, 1.0);
}

double kendall_two_sided(std::span<const int> grades) {
  const int score = std::abs(kendall_score(grades));
  if (score == 0) return 1;
  // Turned round, an order scores the opposite, so that both sides weigh the same.
  return std::min(1.0, 2 * kendall_score_above(score, grades));
}

}  // namespace spile::trends
