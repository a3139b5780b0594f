// A quantity or a grade over the seasons: values with their intervals, each method with its own mark, the
// line and its 95 % band where there is one, a limit. Data in, figure out.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "figures/figure.hpp"
#include "trends/grade_trend.hpp"
#include "trends/value_trend.hpp"

namespace spile::figures {

struct TrendLimit {
  double value = 0;
  std::string word;
};

[[nodiscard]] Figure trend_plot(const trends::ValueTrend& trend, const std::optional<TrendLimit>& limit,
                                double width_paper);
// `words`: of grades 1, 2 ... from the best to the worst, the best on top.
[[nodiscard]] Figure grade_plot(std::span<const trends::SeasonGrade> grades,
                                const std::vector<std::string>& words, double width_paper);

}  // namespace spile::figures
