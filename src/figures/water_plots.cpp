#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "figures/plot.hpp"
#include "figures/water_figures.hpp"
#include "hydraulics/flooding.hpp"

namespace spile::figures {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

constexpr double kLeft = 12, kTop = 6, kBottom = 10, kRight = 4;
constexpr double kShare = 0.5;  // height of a plot over its width
constexpr double kText = 2.5;
constexpr int kPoints = 48;

Figure sheet(double width, std::string caption) {
  return {width, width * kShare + kTop + kBottom, std::move(caption), {}};
}

Plot plot_on(Figure& figure, Span2 x, Span2 y) {
  return {figure, x, y, kLeft, kTop, figure.width - kLeft - kRight, figure.height - kTop - kBottom};
}

void word(Figure& figure, At at, std::string text, Role role, Align align = Align::Left) {
  figure.items.emplace_back(Label{at, std::move(text), kText, role, align});
}

// Height in the boat at which the heeled sea stands over a point, so that the drawing stays upright.
double sea_over(const RunPoint& p, const RunSea& sea) {
  const double angle = sea.heel_deg * std::numbers::pi / 180;
  return p.toward_low_side * std::tan(angle) + sea.sinkage / std::cos(angle);
}

Span2 heights_span(std::span<const RunPoint> points, const RunSea& sea) {
  Span2 span{std::min(0.0, sea.rim), std::max(0.0, sea.rim)};
  for (const auto& p : points) {
    span.from = std::min({span.from, p.height});
    span.to = std::max({span.to, p.height, sea_over(p, sea)});
  }
  const double margin = std::max(50.0, 0.1 * (span.to - span.from));
  return {(span.from - margin) / 1000, (span.to + margin) / 1000};
}

}  // namespace

Figure run_heights(std::span<const RunPoint> points, const RunSea& sea, double width_paper) {
  Figure figure = sheet(width_paper, "Heights along the run against the sea");
  if (points.size() < 2) return figure;
  const double length = std::max(points.back().along, 1.0) / 1000;
  Plot plot = plot_on(figure, {0, length}, heights_span(points, sea));
  plot.axes("along the run, m", "above the waterline, m");
  plot.level(0, Role::Water, false, "waterline at rest");
  Polyline heeled{{}, false, Role::Water, 0.5};
  heeled.dashed = true;
  Polyline run{{}, false, Role::Ink, 0.7};
  for (const auto& p : points) {
    heeled.points.push_back(plot.at(p.along / 1000, sea_over(p, sea) / 1000));
    run.points.push_back(plot.at(p.along / 1000, p.height / 1000));
  }
  if (sea.heel_deg > 0) {
    word(figure, {heeled.points.back().x, heeled.points.back().y - 1},
         fmt::format("sea at {:g}° heel", sea.heel_deg), Role::Ink, Align::Right);
    figure.items.emplace_back(heeled);
  }
  figure.items.emplace_back(run);
  const At rim = plot.at(0, sea.rim / 1000);
  figure.items.emplace_back(Polyline{{run.points.front(), rim}, false, Role::Faint, 0.5});
  figure.items.emplace_back(Mark{rim, Shape::Square, 2.2, Role::Ink, {}});
  word(figure, {rim.x + 2, rim.y + 0.9}, "rim", Role::Ink);
  figure.items.emplace_back(Mark{run.points.back(), Shape::Disc, 2.2, Role::Ink, sea.opening});
  word(figure, {run.points.back().x - 2, run.points.back().y - 2}, sea.opening, Role::Ink, Align::Right);
  return figure;
}

Figure pump_and_system(const hydraulics::PumpCurve& pump, const hydraulics::Pipeline& run, Millimetre fall,
                       double width_paper) {
  Figure figure = sheet(width_paper, "What the pump gives and what the run needs");
  const double most = pump.most().value(), tallest = pump.shut_off().value() * 1.1 / 1000;
  Plot plot = plot_on(figure, {0, most * 1.05}, {std::min(0.0, -fall.value() / 1000), tallest});
  plot.axes("L/min", "head, m");
  Polyline gives{{}, false, Role::Ink, 0.6}, needs{{}, false, Role::Act, 0.6};
  for (int i = 0; i <= kPoints; ++i) {
    const LitrePerMinute q(most * i / kPoints);
    gives.points.push_back(plot.at(q.value(), pump.head_at(q).value() / 1000));
    const double head = (hydraulics::head_needed(run, q) - fall).value() / 1000;
    if (head <= tallest) needs.points.push_back(plot.at(q.value(), head));
  }
  word(figure, {gives.points.front().x + 2, gives.points.front().y - 0.8}, "pump", Role::Ink);
  if (needs.points.size() > 1) {
    word(figure, {needs.points.back().x + 1.5, needs.points.back().y + 2}, "run", Role::Act);
    figure.items.emplace_back(needs);
  }
  figure.items.emplace_back(gives);
  if (const auto met = hydraulics::solve(run, fall, &pump)) {
    const At at = plot.at(met->flow.value(), met->pump_head.value() / 1000);
    figure.items.emplace_back(Mark{at, Shape::Disc, 2.6, Role::Found, {}});
    word(figure, {at.x, at.y + 5}, fmt::format("{:.0f} L/min", met->flow.value()), Role::Ink, Align::Centre);
  }
  return figure;
}

Figure flooding_by_depth(std::span<const FloodPoint> openings, double cd, double width_paper) {
  Figure figure = sheet(width_paper, fmt::format("What comes in by depth, coefficient {:g}", cd));
  double deepest = 500, most = 50;
  for (const auto& o : openings) {
    deepest = std::max(deepest, o.depth * 1.15);
    most = std::max(most, o.lpm * 1.2);
  }
  Plot plot = plot_on(figure, {0, deepest / 1000}, {0, most});
  plot.axes("depth, m", "L/min");
  for (const double bore : {13.0, 25.0, 38.0, 50.0}) {
    Polyline curve{{}, false, Role::Faint, 0.4};
    for (int i = 0; i <= kPoints; ++i) {
      const double depth = deepest * i / kPoints;
      const double lpm = hydraulics::inflow(Millimetre(bore), Millimetre(depth), cd).value();
      if (lpm <= most) curve.points.push_back(plot.at(depth / 1000, lpm));
    }
    if (curve.points.size() < 2) continue;
    const At end = curve.points.back();
    figure.items.emplace_back(std::move(curve));
    word(figure, {end.x - 0.5, end.y - 0.8}, fmt::format("{:g} mm", bore), Role::Faint, Align::Right);
  }
  std::vector<At> tags;
  for (const auto& o : openings) {
    if (o.lpm <= 0) continue;
    const At at = plot.at(o.depth / 1000, o.lpm);
    figure.items.emplace_back(Mark{at, Shape::Disc, 2.2, Role::Act, o.tag});
    // Over its mark where another tag stands beside it already.
    const auto in_the_way = [&](const At& tag) {
      return std::abs(tag.x - at.x) < 9 && std::abs(tag.y - at.y) < kText;
    };
    const bool crowded = std::any_of(tags.begin(), tags.end(), in_the_way);
    tags.push_back(at);
    word(figure, crowded ? At{at.x, at.y - 1.8} : At{at.x + 1.8, at.y + 0.9}, o.tag, Role::Ink,
         crowded ? Align::Centre : Align::Left);
  }
  return figure;
}

}  // namespace spile::figures
