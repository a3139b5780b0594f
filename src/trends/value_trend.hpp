// One quantity of one opening over the seasons: whether it changed, how fast, and how that was decided.
// Values and their 95 % half-widths in the quantity's unit; rates in that unit a year.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/measurement.hpp"
#include "trends/line.hpp"
#include "units/civil_date.hpp"

namespace spile::trends {

struct SeasonValue {
  units::Day day;  // of the survey
  double value = 0, u95 = 1;
  model::Method method = model::Method::Caliper;
};

enum class Change { TooFew, WithinNoise, Changed };
[[nodiscard]] std::string_view key(Change change);    // "within-noise"
[[nodiscard]] std::string_view label(Change change);  // "within measurement noise"

struct Rate {
  double per_year = 0, u95 = 0;
};

// What the values of one method say taken alone, beside the whole.
struct MethodTrend {
  model::Method method = model::Method::Caliper;
  int values = 0;
  std::optional<Rate> rate;  // absent where its values are of one day
};

struct ValueTrend {
  model::Quantity quantity = model::Quantity::HoleDiameter;
  std::string label;                // of a layer, or empty
  std::vector<SeasonValue> values;  // oldest first
  int seasons = 0;                  // different days
  Change change = Change::TooFew;
  bool steady = true;        // false: the values scatter about the line by more than their intervals allow
  std::optional<Line> line;  // over years since `since()`
  std::optional<Rate> rate;  // with the line
  double level_u95 = 0;      // of the line at its middle, widened as the rate is
  std::vector<MethodTrend> methods;
  std::string test;  // what was tested and what came out, a sentence or two

  [[nodiscard]] units::Day since() const { return values.front().day; }
  [[nodiscard]] units::Day last() const { return values.back().day; }
};

// The test: a straight line by least squares, each value weighted by its interval. Changed when the 95 %
// interval of its rate leaves out 0. That interval is the wider of the one from the stated uncertainties
// (normal) and the one from the scatter about the line (Student's t with n - 2 degrees of freedom). Also
// changed, though unsteady, when the scatter is too large for the stated uncertainties (chi-squared, 1 %).
// Values of one day: too few.
[[nodiscard]] ValueTrend value_trend(model::Quantity quantity, std::string label,
                                     std::vector<SeasonValue> values);

}  // namespace spile::trends
