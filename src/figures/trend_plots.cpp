#include "figures/trend_plots.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "figures/callouts.hpp"
#include "figures/plot.hpp"
#include "model/names.hpp"

namespace spile::figures {

namespace {

constexpr double kLeft = 14, kTop = 6, kBottom = 6, kRight = 4, kLegend = 4.5;
constexpr double kShare = 0.34;  // height of a plot over its width
constexpr double kText = 2.5, kMark = 2.2, kWhisker = 0.9;
constexpr int kPoints = 24;

using units::Day;

// Years from the first day, with a little room so that no mark sits on the axis.
Span2 span_of(Day first, Day last) {
  const double years = std::max(units::years_between(first, last), 0.2);
  return {-0.04 * years, 1.04 * years};
}

struct MethodLook {
  Shape shape = Shape::Disc;
  Role role = Role::Ink;
};

MethodLook look_of(model::Method method) {
  switch (method) {
    case model::Method::PhotoAuto:
      return {Shape::Square, Role::Found};
    case model::Method::PhotoByHand:
      return {Shape::Square, Role::ByHand};
    case model::Method::Caliper:
      return {Shape::Disc, Role::Ink};
    case model::Method::UltrasonicGauge:
      return {Shape::Triangle, Role::Ink};
    case model::Method::SteelRule:
    case model::Method::Tape:
      return {Shape::Diamond, Role::Ink};
    case model::Method::Estimate:
      break;
  }
  return {Shape::Ring, Role::Unknown};
}

// The day of each season below the axis, as far as there is room; the first and the last always.
void season_ticks(Figure& figure, const Plot& plot, const std::vector<Day>& days, double bottom) {
  const double width = text_width("2026-04", kText) + 2;
  const auto put = [&](Day day) {
    const double x = plot.at(units::years_between(days.front(), day), plot.y().from).x;
    figure.items.emplace_back(Polyline{{{x, bottom}, {x, bottom + 1}}, false, Role::Faint, 0.25});
    figure.items.emplace_back(Label{
        {x, bottom + 1 + kText}, units::print_date(day).substr(0, 7), kText, Role::Faint, Align::Centre});
    return x;
  };
  const double last = days.size() > 1 ? put(days.back()) : 0;
  double taken = put(days.front());
  for (const Day day : days) {
    const double x = plot.at(units::years_between(days.front(), day), plot.y().from).x;
    if (x - taken >= width && last - x >= width) taken = put(day);
  }
}

void line_and_band(Figure& figure, const Plot& plot, const trends::ValueTrend& trend) {
  const auto& line = *trend.line;
  const double widened = line.u_level > 0 ? trend.level_u95 / line.u_level : 0;
  const double to = units::years_between(trend.since(), trend.last());
  Polyline fit{{}, false, Role::Ink, 0.4}, above{{}, false, Role::Faint, 0.3},
      below{{}, false, Role::Faint, 0.3};
  fit.dashed = trend.change != trends::Change::Changed || !trend.steady;
  for (int i = 0; i <= kPoints; ++i) {
    const double t = to * i / kPoints, u = widened * line.u_at(t);
    fit.points.push_back(plot.at(t, line.at(t)));
    above.points.push_back(plot.at(t, line.at(t) + u));
    below.points.push_back(plot.at(t, line.at(t) - u));
  }
  figure.items.emplace_back(above);
  figure.items.emplace_back(below);
  figure.items.emplace_back(fit);
}

Span2 values_span(const trends::ValueTrend& trend, const std::optional<TrendLimit>& limit) {
  Span2 span{trend.values.front().value, trend.values.front().value};
  for (const auto& v : trend.values) {
    span.from = std::min(span.from, v.value - v.u95);
    span.to = std::max(span.to, v.value + v.u95);
  }
  const double own = span.to - span.from;
  // A limit far off would press the values into a line; then it is only said.
  if (limit && limit->value > span.from - 2 * own && limit->value < span.to + 2 * own) {
    span.from = std::min(span.from, limit->value);
    span.to = std::max(span.to, limit->value);
  }
  const double room = 0.08 * (span.to - span.from);
  return {span.from - room, span.to + room};
}

void value_marks(Figure& figure, const Plot& plot, const trends::ValueTrend& trend) {
  for (const auto& v : trend.values) {
    const double t = units::years_between(trend.since(), v.day);
    const At low = plot.at(t, v.value - v.u95), high = plot.at(t, v.value + v.u95);
    const auto look = look_of(v.method);
    figure.items.emplace_back(Polyline{{low, high}, false, look.role, 0.3});
    for (const At end : {low, high})
      figure.items.emplace_back(
          Polyline{{{end.x - kWhisker, end.y}, {end.x + kWhisker, end.y}}, false, look.role, 0.3});
    figure.items.emplace_back(Mark{plot.at(t, v.value), look.shape, kMark, look.role, {}});
  }
}

void legend(Figure& figure, const trends::ValueTrend& trend, double y) {
  double x = kLeft;
  std::vector<model::Method> methods;
  for (const auto& v : trend.values)
    if (std::find(methods.begin(), methods.end(), v.method) == methods.end()) methods.push_back(v.method);
  for (const auto method : methods) {
    const auto look = look_of(method);
    figure.items.emplace_back(Mark{{x + 1, y}, look.shape, kMark, look.role, {}});
    const std::string word(model::label(method));
    figure.items.emplace_back(Label{{x + 3, y + 0.9}, word, kText, Role::Ink, Align::Left});
    x += 3 + text_width(word, kText) + 4;
  }
}

std::vector<Day> days_of(const trends::ValueTrend& trend) {
  std::vector<Day> days;
  for (const auto& v : trend.values)
    if (days.empty() || days.back() != v.day) days.push_back(v.day);
  return days;
}

}  // namespace

Figure trend_plot(const trends::ValueTrend& trend, const std::optional<TrendLimit>& limit,
                  double width_paper) {
  const double height = width_paper * kShare;
  Figure figure{width_paper, height + kTop + kBottom + kLegend, {}, {}};
  if (trend.values.empty()) return figure;
  Plot plot(figure, span_of(trend.since(), trend.last()), values_span(trend, limit), kLeft, kTop,
            width_paper - kLeft - kRight, height);
  plot.y_axis(
      std::string(model::label(trend.quantity)) +
      (model::unit_of(trend.quantity).empty() ? "" : fmt::format(", {}", model::unit_of(trend.quantity))));
  season_ticks(figure, plot, days_of(trend), kTop + height);
  if (limit && limit->value >= plot.y().from && limit->value <= plot.y().to)
    plot.level(limit->value, Role::Act, true, limit->word);
  if (trend.line) line_and_band(figure, plot, trend);
  value_marks(figure, plot, trend);
  legend(figure, trend, kTop + height + kBottom + 1.5);
  return figure;
}

Figure grade_plot(std::span<const trends::SeasonGrade> grades, const std::vector<std::string>& words,
                  double width_paper) {
  const double height = 4.5 * static_cast<double>(words.size());
  Figure figure{width_paper, height + kTop + kBottom, {}, {}};
  if (grades.empty()) return figure;
  const auto worst = static_cast<double>(words.size());
  const Plot plot(figure, span_of(grades.front().day, grades.back().day), {worst + 0.5, 0.5}, kLeft, kTop,
                  width_paper - kLeft - kRight, height);
  for (std::size_t i = 0; i < words.size(); ++i) {
    const double y = plot.at(0, static_cast<double>(i + 1)).y;
    figure.items.emplace_back(Polyline{{{kLeft, y}, {width_paper - kRight, y}}, false, Role::Faint, 0.15});
    figure.items.emplace_back(
        Label{{kLeft - 1.5, y + kText / 3}, words[i], kText, Role::Faint, Align::Right});
  }
  std::vector<Day> days;
  Polyline way{{}, false, Role::Faint, 0.4};
  for (const auto& g : grades) {
    days.push_back(g.day);
    way.points.push_back(plot.at(units::years_between(grades.front().day, g.day), g.grade));
  }
  const auto marks = way.points;
  figure.items.emplace_back(std::move(way));
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const int grade = grades[i].grade;
    const bool bad = grade + 1 >= static_cast<int>(words.size());
    figure.items.emplace_back(Mark{marks[i],
                                   grade == 1 ? Shape::Disc
                                   : bad      ? Shape::Triangle
                                              : Shape::Square,
                                   kMark,
                                   grade == 1 ? Role::Good
                                   : bad      ? Role::Act
                                              : Role::Watch,
                                   {}});
  }
  season_ticks(figure, plot, days, kTop + height);
  return figure;
}

}  // namespace spile::figures
