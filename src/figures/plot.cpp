#include "figures/plot.hpp"

#include <cmath>
#include <cstdio>

namespace spile::figures {

namespace {

constexpr double kTick = 1, kText = 2.5;

}  // namespace

double round_step(double span, int parts) {
  const double rough = span / parts;
  const double power = std::pow(10, std::floor(std::log10(rough)));
  for (const double step : {1.0, 2.0, 5.0})
    if (rough <= step * power) return step * power;
  return 10 * power;
}

std::string tick_text(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", std::abs(value) < 1e-9 ? 0.0 : value);
  return text;
}

Plot::Plot(Figure& figure, Span2 x, Span2 y, double left, double top, double width, double height)
    : figure_(figure), x_(x), y_(y), left_(left), top_(top), width_(width), height_(height) {}

At Plot::at(double x, double y) const {
  return {left_ + (x - x_.from) / (x_.to - x_.from) * width_,
          top_ + height_ - (y - y_.from) / (y_.to - y_.from) * height_};
}

void Plot::y_axis(const std::string& label) {
  const double bottom = top_ + height_;
  figure_.items.emplace_back(
      Polyline{{{left_, top_}, {left_, bottom}, {left_ + width_, bottom}}, false, Role::Faint, 0.25});
  const double step = round_step(y_.to - y_.from, 5);
  for (double v = std::ceil(y_.from / step) * step; v <= y_.to + step * 1e-6; v += step) {
    const double py = at(x_.from, v).y;
    figure_.items.emplace_back(Polyline{{{left_ - kTick, py}, {left_, py}}, false, Role::Faint, 0.25});
    figure_.items.emplace_back(
        Label{{left_ - kTick - 0.6, py + kText / 3}, tick_text(v), kText, Role::Faint, Align::Right});
  }
  figure_.items.emplace_back(Label{{left_ - kTick - 6, top_ - 1.5}, label, kText, Role::Faint, Align::Left});
}

void Plot::axes(const std::string& x_label, const std::string& y_label) {
  y_axis(y_label);
  const double bottom = top_ + height_;
  const double step = round_step(x_.to - x_.from, 6);
  for (double v = std::ceil(x_.from / step) * step; v <= x_.to + step * 1e-6; v += step) {
    const double px = at(v, y_.from).x;
    figure_.items.emplace_back(Polyline{{{px, bottom}, {px, bottom + kTick}}, false, Role::Faint, 0.25});
    figure_.items.emplace_back(
        Label{{px, bottom + kTick + kText}, tick_text(v), kText, Role::Faint, Align::Centre});
  }
  figure_.items.emplace_back(
      Label{{left_ + width_, bottom + kTick + 2 * kText + 1}, x_label, kText, Role::Faint, Align::Right});
}

void Plot::level(double y, Role role, bool dashed, const std::string& word) {
  Polyline line{{at(x_.from, y), at(x_.to, y)}, false, role, 0.35};
  line.dashed = dashed;
  figure_.items.emplace_back(line);
  figure_.items.emplace_back(Label{{at(x_.to, y).x, at(x_.to, y).y - 0.8}, word, kText, role, Align::Right});
}

}  // namespace spile::figures
