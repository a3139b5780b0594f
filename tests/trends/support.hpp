// Values drawn about a straight line, with a stated interval each.
#pragma once

#include <random>
#include <vector>

#include "trends/value_trend.hpp"

namespace spile::trends {

struct Drawn {
  double start = 0, per_year = 0;
  std::vector<double> years, u95;
  double honest = 1;  // true scatter over the stated one
};

inline std::vector<SeasonValue> draw(const Drawn& drawn, std::mt19937& random) {
  std::normal_distribution<double> normal;
  const units::Day first = units::parse_date("2015-04-01").value();
  std::vector<SeasonValue> values;
  for (std::size_t i = 0; i < drawn.years.size(); ++i) {
    const units::Day day = units::years_later(first, drawn.years[i]);
    const double truth = drawn.start + drawn.per_year * units::years_between(first, day);
    values.push_back({day, truth + drawn.honest * drawn.u95[i] / 1.96 * normal(random), drawn.u95[i],
                      model::Method::Caliper});
  }
  return values;
}

inline ValueTrend trend_of(const std::vector<SeasonValue>& values) {
  return value_trend(model::Quantity::HoleDiameter, "", values);
}

}  // namespace spile::trends
