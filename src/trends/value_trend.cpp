#include "trends/value_trend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "metrology/uncertainty.hpp"

namespace spile::trends {

namespace {

constexpr double kTwoSided95 = 0.975;
constexpr double kUnsteady = 0.01;

double normal95() {
  static const double kFactor = metrology::normal_quantile(kTwoSided95);
  return kFactor;
}

std::vector<Reading> readings_of(const std::vector<SeasonValue>& values, units::Day since) {
  std::vector<Reading> readings;
  readings.reserve(values.size());
  for (const auto& v : values)
    readings.push_back({units::years_between(since, v.day), v.value, v.u95 / normal95()});
  return readings;
}

// Half-width of the 95 % interval over the standard uncertainty that the stated ones lead to.
double widening(const Line& line) {
  if (line.degrees_of_freedom() < 1) return normal95();
  const double students = metrology::student_quantile(kTwoSided95, line.degrees_of_freedom());
  return std::max(normal95(), students * line.scatter());
}

int days_of(const std::vector<SeasonValue>& values) {
  std::set<units::Day> days;
  for (const auto& v : values) days.insert(v.day);
  return static_cast<int>(days.size());
}

std::vector<MethodTrend> apart(const std::vector<SeasonValue>& values, units::Day since) {
  std::vector<MethodTrend> methods;
  std::set<model::Method> seen;
  for (const auto& first : values) {
    if (!seen.insert(first.method).second) continue;
    std::vector<SeasonValue> own;
    std::copy_if(values.begin(), values.end(), std::back_inserter(own),
                 [&](const SeasonValue& v) { return v.method == first.method; });
    MethodTrend method{first.method, static_cast<int>(own.size()), std::nullopt};
    if (const auto line = fit_line(readings_of(own, since)))
      method.rate = Rate{line->rate, widening(*line) * line->u_rate};
    methods.push_back(method);
  }
  return methods;
}

void judge(ValueTrend& trend) {
  const Line& line = *trend.line;
  const double factor = widening(line);
  trend.rate = Rate{line.rate, factor * line.u_rate};
  trend.level_u95 = factor * line.u_level;
  const bool moves = std::abs(trend.rate->per_year) > trend.rate->u95;
  trend.test = fmt::format("Weighted straight line through {} values: its rate {} 0 at 95 %.", line.readings,
                           moves ? "differs from" : "is not told from");
  if (line.degrees_of_freedom() > 0) {
    const double p = metrology::chi_squared_above(line.chi_squared, line.degrees_of_freedom());
    trend.steady = p >= kUnsteady;
    trend.test += fmt::format(
        " Scatter about it: chi-squared {:.2f} for {} degrees of freedom, p = {:.2g}{}.", line.chi_squared,
        line.degrees_of_freedom(), p, trend.steady ? "" : ", more than the intervals allow");
  }
  trend.change = moves || !trend.steady ? Change::Changed : Change::WithinNoise;
}

}  // namespace

std::string_view key(Change change) {
  switch (change) {
    case Change::TooFew:
      return "too-few";
    case Change::WithinNoise:
      return "within-noise";
    case Change::Changed:
      return "changed";
  }
  return {};
}

std::string_view label(Change change) {
  switch (change) {
    case Change::TooFew:
      return "too few";
    case Change::WithinNoise:
      return "within measurement noise";
    case Change::Changed:
      return "changed";
  }
  return {};
}

ValueTrend value_trend(model::Quantity quantity, std::string label, std::vector<SeasonValue> values) {
  ValueTrend trend;
  trend.quantity = quantity;
  trend.label = std::move(label);
  std::stable_sort(values.begin(), values.end(),
                   [](const SeasonValue& a, const SeasonValue& b) { return a.day < b.day; });
  trend.values = std::move(values);
  trend.seasons = days_of(trend.values);
  if (trend.seasons < 2) {
    trend.test = "Values of two surveys are the least that can be compared.";
    return trend;
  }
  trend.methods = apart(trend.values, trend.since());
  trend.line = fit_line(readings_of(trend.values, trend.since()));
  judge(trend);
  return trend;
}

}  // namespace spile::trends
