// Trends for scripts: values in the quantity's unit, rates in that unit a year, what cannot be said is null.
#include "app/trends.hpp"
#include "model/names.hpp"

namespace spile::app {

namespace {

using nlohmann::ordered_json;

ordered_json rate_json(const std::optional<trends::Rate>& rate) {
  if (!rate) return nullptr;
  return {{"per_year", rate->per_year}, {"u95", rate->u95}};
}

ordered_json values_json(const trends::ValueTrend& trend) {
  auto list = ordered_json::array();
  for (const auto& v : trend.values)
    list.push_back({{"date", units::print_date(v.day)},
                    {"value", v.value},
                    {"u95", v.u95},
                    {"method", model::key(v.method)}});
  return list;
}

ordered_json methods_json(const trends::ValueTrend& trend) {
  auto list = ordered_json::array();
  for (const auto& m : trend.methods)
    list.push_back({{"method", model::key(m.method)}, {"values", m.values}, {"rate", rate_json(m.rate)}});
  return list;
}

ordered_json limit_json(const QuantityTrend& trend) {
  if (!trend.limit) return nullptr;
  const auto& reached = *trend.reached;
  const bool expected = reached.reach == trends::Reach::Expected;
  const auto day = [&](units::Day d) {
    return expected ? ordered_json(units::print_date(d)) : ordered_json(nullptr);
  };
  return {{"value", trend.limit->value},
          {"bad", trend.limit->bad == trends::Bad::Above ? "above" : "below"},
          {"label", trend.limit->label},
          {"source", trend.limit->source},
          {"reach", trends::key(reached.reach)},
          {"date", day(reached.date)},
          {"earliest", day(reached.earliest)},
          {"latest", day(reached.latest)},
          {"why", reached.why}};
}

ordered_json quantity_json(const QuantityTrend& q) {
  const auto& t = q.trend;
  ordered_json object = {{"quantity", model::key(t.quantity)},
                         {"layer", t.label.empty() ? ordered_json(nullptr) : ordered_json(t.label)},
                         {"unit", model::unit_of(t.quantity)},
                         {"verdict", trends::key(t.change)},
                         {"steady", t.steady},
                         {"words", verdict_words(t)},
                         {"rate", rate_json(t.rate)},
                         {"test", t.test},
                         {"values", values_json(t)},
                         {"methods", methods_json(t)},
                         {"limit", limit_json(q)}};
  return object;
}

ordered_json grade_json(const GradeSeries& series) {
  auto grades = ordered_json::array();
  for (const auto& g : series.trend.grades)
    grades.push_back({{"date", units::print_date(g.day)}, {"grade", word_of(series.grade, g.grade)}});
  return {{"grade", series.grade == Grade::Condition ? "condition" : "valve"},
          {"verdict", trends::key(series.trend.change)},
          {"words", verdict_words(series)},
          {"score", series.trend.score},
          {"p", series.trend.p},
          {"test", series.trend.test},
          {"grades", grades}};
}

}  // namespace

ordered_json trends_json(const OpeningView& view, const OpeningTrends& trends) {
  auto quantities = ordered_json::array(), grades = ordered_json::array();
  for (const auto& q : trends.quantities) quantities.push_back(quantity_json(q));
  for (const auto& g : trends.grades) grades.push_back(grade_json(g));
  return {{"tag", view.opening.tag}, {"quantities", quantities}, {"grades", grades}};
}

}  // namespace spile::app
