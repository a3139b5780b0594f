// What changed at one opening over the seasons up to the current survey: measured values by a weighted line,
// grades by a rank test, and when a limit would be reached. Reads a snapshot, changes nothing.
#pragma once

#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "figures/figure.hpp"
#include "trends/grade_trend.hpp"
#include "trends/limit.hpp"
#include "trends/value_trend.hpp"

namespace spile::app {

struct Limit {
  double value = 0;  // in the quantity's unit
  trends::Bad bad = trends::Bad::Above;
  std::string label, source;
};
using Limits = std::map<model::Quantity, Limit>;

// Those the tables and the opening's own record give: the yard's rows of trend_limits.csv, the least
// thickness of solid laminate without a block where the hull is solid, the widest hole its stem may sit in
// where the stem is recorded.
[[nodiscard]] Limits limits_of(const Snapshot& snapshot, const OpeningView& view,
                               const rules::Tables& tables);

struct QuantityTrend {
  trends::ValueTrend trend;
  std::optional<Limit> limit;
  std::optional<trends::LimitDate> reached;  // with a limit
};

enum class Grade { Condition, Valve };  // the valve: works, stiff, seized
struct GradeSeries {
  Grade grade = Grade::Condition;
  trends::GradeTrend trend;
};
[[nodiscard]] std::string_view label(Grade grade);
[[nodiscard]] std::string_view word_of(Grade grade, int value);  // "worn", "stiff"

struct OpeningTrends {
  std::vector<QuantityTrend> quantities;  // that have a value, in the order of model::Quantity
  std::vector<GradeSeries> grades;        // that were put down at least once
};

// `limits` stand in place of those of limits_of(). Only what was looked at counts as a grade.
[[nodiscard]] OpeningTrends trends_of(const Snapshot& snapshot, const OpeningView& view,
                                      const rules::Tables& tables, const Limits& limits = {});

// "Changed: +0.35 ± 0.12 mm a year", one line; the limit's date in a second.
[[nodiscard]] std::string name_of(const trends::ValueTrend& trend);  // "Layer thickness (core)"
[[nodiscard]] std::string verdict_words(const trends::ValueTrend& trend);
[[nodiscard]] std::string verdict_words(const GradeSeries& series);
[[nodiscard]] std::string limit_words(const QuantityTrend& trend);  // empty without a limit

[[nodiscard]] figures::Figure trend_figure(const QuantityTrend& trend, double width_paper);
[[nodiscard]] figures::Figure grade_figure(const GradeSeries& series, double width_paper);

[[nodiscard]] nlohmann::ordered_json trends_json(const OpeningView& view, const OpeningTrends& trends);

}  // namespace spile::app
