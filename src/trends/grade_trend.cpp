#include "trends/grade_trend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "trends/rank.hpp"

namespace spile::trends {

namespace {

constexpr double kLevel = 0.05;
constexpr std::size_t kLeast = 5;  // 2 / 5! is the first two-sided chance below 5 %

}  // namespace

GradeTrend grade_trend(std::vector<SeasonGrade> grades) {
  GradeTrend trend;
  std::stable_sort(grades.begin(), grades.end(),
                   [](const SeasonGrade& a, const SeasonGrade& b) { return a.day < b.day; });
  trend.grades = std::move(grades);
  std::vector<int> order;
  order.reserve(trend.grades.size());
  for (const auto& g : trend.grades) order.push_back(g.grade);
  trend.score = kendall_score(order);
  trend.p = kendall_two_sided(order);
  if (order.size() < kLeast) {
    trend.test = fmt::format("A rank test needs grades of {} surveys at least.", kLeast);
    return trend;
  }
  trend.change = trend.p <= kLevel ? Change::Changed : Change::WithinNoise;
  trend.test = fmt::format("Mann-Kendall rank test over {} grades: score {}, two-sided p = {:.2g}.",
                           order.size(), trend.score, trend.p);
  return trend;
}

}  // namespace spile::trends
