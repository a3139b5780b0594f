// Grades over the seasons (a condition, how hard a valve turns): whether they go one way by a rank test.
#pragma once

#include <string>
#include <vector>

#include "trends/value_trend.hpp"

namespace spile::trends {

struct SeasonGrade {
  units::Day day;
  int grade = 0;  // of which only the order counts; higher is worse
};

struct GradeTrend {
  std::vector<SeasonGrade> grades;  // oldest first
  Change change = Change::TooFew;
  int score = 0;  // Kendall's: above 0 worse, below 0 better
  double p = 1;   // two-sided, exact
  std::string test;
};

// The test: Mann and Kendall's, two-sided at 5 %. Fewer than five grades cannot reach that, whatever they
// are: too few.
[[nodiscard]] GradeTrend grade_trend(std::vector<SeasonGrade> grades);

}  // namespace spile::trends
