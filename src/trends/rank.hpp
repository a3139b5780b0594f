// Whether grades go one way over time: the rank test of Mann and Kendall, exact for any number of grades,
// with ties. Grades are in order of time; a grade is an integer of which only the order counts.
// Source: M. G. Kendall, Rank Correlation Methods; with ties the number of inversions is distributed as in
// P. A. MacMahon's theorem on permutations of a multiset, which is Mann and Whitney's count, group by group.
#pragma once

#include <span>

namespace spile::trends {

// Pairs that rise less pairs that fall.
[[nodiscard]] int kendall_score(std::span<const int> grades);
// That a chance order of these same grades scores at least `score`.
[[nodiscard]] double kendall_score_above(int score, std::span<const int> grades);
// That a chance order scores at least as far from 0, either way.
[[nodiscard]] double kendall_two_sided(std::span<const int> grades);

}  // namespace spile::trends
