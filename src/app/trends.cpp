#include "app/trends.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "app/wording.hpp"
#include "figures/trend_plots.hpp"
#include "model/names.hpp"

namespace spile::app {

namespace {

using model::Quantity;
using trends::Change;
using units::Day;

std::map<model::SurveyId, Day> days_so_far(const Snapshot& snapshot) {
  std::map<model::SurveyId, Day> days;
  const auto so_far = snapshot.newest_first();
  for (const auto& survey : snapshot.surveys) {
    const auto day = units::parse_date(survey.date);
    if (day && std::find(so_far.begin(), so_far.end(), survey.id) != so_far.end()) days[survey.id] = *day;
  }
  return days;
}

bool solid(const Snapshot& snapshot, const OpeningView& view) {
  auto hull = view.opening.construction;
  if (hull == model::HullConstruction::Unknown && snapshot.vessel) hull = snapshot.vessel->construction;
  return hull == model::HullConstruction::SingleSkin;
}

int grade_of(Grade grade, const model::Observation& seen) {
  if (grade == Grade::Condition) return static_cast<int>(seen.condition);
  switch (seen.valve) {
    case model::ValveState::Works:
      return 1;
    case model::ValveState::Stiff:
      return 2;
    case model::ValveState::Seized:
      return 3;
    case model::ValveState::Unknown:
    case model::ValveState::None:
      break;
  }
  return 0;
}

std::optional<GradeSeries> grades_of(Grade grade, const OpeningView& view,
                                     const std::map<model::SurveyId, Day>& days) {
  std::vector<trends::SeasonGrade> grades;
  for (const auto& seen : view.seasons) {
    const auto day = days.find(seen.survey);
    const int value = grade_of(grade, seen);
    if (seen.seen == model::Seen::Looked && value > 0 && day != days.end())
      grades.push_back({day->second, value});
  }
  if (grades.empty()) return std::nullopt;
  return GradeSeries{grade, trends::grade_trend(std::move(grades))};
}

std::string signed_interval(double value, double u95, std::string_view unit) {
  return fmt::format("{}{}", value > 0 ? "+" : "", print_interval(value, u95, unit));
}

QuantityTrend judged(trends::ValueTrend trend, const Limits& limits) {
  QuantityTrend judged{std::move(trend), std::nullopt, std::nullopt};
  if (const auto limit = limits.find(judged.trend.quantity); limit != limits.end()) {
    judged.limit = limit->second;
    judged.reached = trends::limit_date(judged.trend, limit->second.value, limit->second.bad);
  }
  return judged;
}

}  // namespace

Limits limits_of(const Snapshot& snapshot, const OpeningView& view, const rules::Tables& tables) {
  Limits limits;
  if (solid(snapshot, view)) {
    const auto& least = tables.threshold("reinforce.single-skin.min");
    limits[Quantity::LaminateThickness] = {least.value, trends::Bad::Below, least.label, least.source};
  }
  if (view.fitting && view.fitting->shank_mm) {
    const auto& most = tables.threshold("size.clearance.most");
    limits[Quantity::HoleDiameter] = {
        *view.fitting->shank_mm + most.value, trends::Bad::Above,
        fmt::format("Stem of {} and the most clearance it may have", print_mm(*view.fitting->shank_mm)),
        most.source};
  }
  for (const auto& row : tables.trend_limits())
    limits[row.quantity] = {row.limit, row.above ? trends::Bad::Above : trends::Bad::Below, row.choice.label,
                            row.choice.source};
  return limits;
}

std::string_view label(Grade grade) {
  return grade == Grade::Condition ? "Condition" : "How the valve turns";
}

std::string_view word_of(Grade grade, int value) {
  if (grade == Grade::Condition) return model::key(static_cast<model::Condition>(value));
  constexpr std::array<std::string_view, 4> kWords = {"not known", "works", "stiff", "seized"};
  return kWords.at(static_cast<std::size_t>(value));
}

OpeningTrends trends_of(const Snapshot& snapshot, const OpeningView& view, const rules::Tables& tables,
                        const Limits& limits) {
  Limits all = limits;
  all.merge(limits_of(snapshot, view, tables));
  const auto days = days_so_far(snapshot);
  std::map<std::pair<Quantity, std::string>, std::vector<trends::SeasonValue>> values;
  for (const auto& m : view.measurements)
    if (const auto day = days.find(m.survey); day != days.end())
      values[{m.quantity, m.label}].push_back({day->second, m.value, m.u95, m.method});
  OpeningTrends found;
  for (auto& [what, seasons] : values)
    found.quantities.push_back(judged(trends::value_trend(what.first, what.second, std::move(seasons)), all));
  for (const Grade grade : {Grade::Condition, Grade::Valve})
    if (auto series = grades_of(grade, view, days)) found.grades.push_back(std::move(*series));
  return found;
}

std::string name_of(const trends::ValueTrend& trend) {
  const std::string name(model::label(trend.quantity));
  return trend.label.empty() ? name : fmt::format("{} ({})", name, trend.label);
}

std::string verdict_words(const trends::ValueTrend& trend) {
  if (trend.change == Change::TooFew) return "Too few: values of one survey only.";
  const std::string unit(model::unit_of(trend.quantity));
  const std::string rate =
      fmt::format("{} a year", signed_interval(trend.rate->per_year, trend.rate->u95, unit));
  if (trend.change == Change::WithinNoise) return fmt::format("Within measurement noise: {}.", rate);
  if (!trend.steady)
    return "Changed, but not steadily: the values differ by more than their intervals allow.";
  return fmt::format("Changed: {}.", rate);
}

std::string verdict_words(const GradeSeries& series) {
  const auto& grades = series.trend.grades;
  const std::string span = grades.size() < 2
                               ? std::string(word_of(series.grade, grades.back().grade))
                               : fmt::format("{} to {}", word_of(series.grade, grades.front().grade),
                                             word_of(series.grade, grades.back().grade));
  switch (series.trend.change) {
    case Change::TooFew:
      return fmt::format("Too few for a rank test: {} in {}.", span, counted(grades.size(), "survey"));
    case Change::WithinNoise:
      return fmt::format("No way told apart from chance: {} in {}.", span, counted(grades.size(), "survey"));
    case Change::Changed:
      return fmt::format("Changed for the {}: {} in {}.", series.trend.score > 0 ? "worse" : "better", span,
                         counted(grades.size(), "survey"));
  }
  return {};
}

std::string limit_words(const QuantityTrend& trend) {
  if (!trend.limit) return {};
  const std::string limit =
      fmt::format("Limit {} {}", print_number(trend.limit->value, 2), model::unit_of(trend.trend.quantity));
  const auto& reached = *trend.reached;
  if (reached.reach != trends::Reach::Expected)
    return fmt::format("{} ({}): {}", trimmed(limit), lower(trend.limit->label), reached.why);
  return fmt::format("{} ({}): reached about {}, between {} and {} (95 %), if it goes on as it did.",
                     trimmed(limit), lower(trend.limit->label), units::print_date(reached.date),
                     units::print_date(reached.earliest), units::print_date(reached.latest));
}

figures::Figure trend_figure(const QuantityTrend& trend, double width_paper) {
  std::optional<figures::TrendLimit> limit;
  if (trend.limit) limit = {trend.limit->value, "limit"};
  return figures::trend_plot(trend.trend, limit, width_paper);
}

figures::Figure grade_figure(const GradeSeries& series, double width_paper) {
  std::vector<std::string> words;
  const int most = series.grade == Grade::Condition ? 4 : 3;
  for (int g = 1; g <= most; ++g) words.emplace_back(word_of(series.grade, g));
  return figures::grade_plot(series.trend.grades, words, width_paper);
}

}  // namespace spile::app
