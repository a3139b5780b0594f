#include "figures/callouts.hpp"

#include <algorithm>
#include <cmath>

namespace spile::figures {

namespace {

constexpr double kRowHeight = 4.2;
constexpr double kGap = 2.2;

double step_of(const std::vector<Callout>& callouts) {
  double widest = 4;
  for (const auto& c : callouts) widest = std::max(widest, text_width(c.tag, kTagSize));
  return widest + kGap;
}

std::size_t rows_of(const std::vector<Callout>& callouts, double width) {
  if (callouts.empty()) return 0;
  return static_cast<std::size_t>(
      std::ceil(static_cast<double>(callouts.size()) * step_of(callouts) / std::max(width, 1.0)));
}

// Nearest places to `wanted` (ascending) that keep `gap` apart and stay within [left, right].
std::vector<double> spaced(std::vector<double> wanted, double gap, double left, double right) {
  double least = left;
  for (auto& x : wanted) {
    x = std::max(x, least);
    least = x + gap;
  }
  double most = right;
  for (auto it = wanted.rbegin(); it != wanted.rend(); ++it) {
    *it = std::min(*it, most);
    most = *it - gap;
  }
  return wanted;
}

}  // namespace

double text_width(const std::string& utf8, double size) {
  const auto letters = std::count_if(utf8.begin(), utf8.end(), [](char c) { return (c & 0xC0) != 0x80; });
  return 0.52 * size * static_cast<double>(letters);
}

double callout_height(const std::vector<Callout>& callouts, double width) {
  return static_cast<double>(rows_of(callouts, width)) * kRowHeight;
}

void add_callouts(Figure& figure, std::vector<Callout> callouts, double left, double right, double row_y,
                  bool up) {
  std::stable_sort(callouts.begin(), callouts.end(),
                   [](const auto& a, const auto& b) { return a.mark.x < b.mark.x; });
  const std::size_t rows = rows_of(callouts, right - left);
  const double half = step_of(callouts) / 2;
  for (std::size_t row = 0; row < rows; ++row) {
    std::vector<double> wanted;
    for (std::size_t i = row; i < callouts.size(); i += rows) wanted.push_back(callouts[i].mark.x);
    const auto places = spaced(wanted, 2 * half, left + half, right - half);
    const double y = row_y + (up ? -1 : 1) * static_cast<double>(row) * kRowHeight;
    for (std::size_t k = 0; k < places.size(); ++k) {
      const Callout& c = callouts[row + k * rows];
      figure.items.emplace_back(
          Polyline{{c.mark, {places[k], up ? y + 0.6 : y - kTagSize}}, false, Role::Faint, 0.15});
      figure.items.emplace_back(Label{{places[k], y}, c.tag, kTagSize, Role::Ink, Align::Centre, true});
    }
  }
  for (const auto& c : callouts) figure.items.emplace_back(Mark{c.mark, c.shape, 2.6, c.role, c.tag});
}

namespace {

double add_column(Figure& figure, std::vector<Callout> callouts, bool left, double top) {
  constexpr double kStep = 3.4;
  std::stable_sort(callouts.begin(), callouts.end(),
                   [](const auto& a, const auto& b) { return a.mark.y < b.mark.y; });
  std::vector<double> wanted;
  for (const auto& c : callouts) wanted.push_back(c.mark.y + kTagSize * 0.35);
  const double lowest = std::max(figure.height, top + kStep * static_cast<double>(callouts.size()));
  const auto places = spaced(wanted, kStep, top, lowest);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Callout& c = callouts[i];
    const double edge = left ? 0 : figure.width, tag = text_width(c.tag, kTagSize) + 0.8;
    const At end{left ? tag : figure.width - tag, places[i] - kTagSize * 0.35};
    figure.items.emplace_back(Polyline{{c.mark, end}, false, Role::Faint, 0.15});
    figure.items.emplace_back(
        Label{{edge, places[i]}, c.tag, kTagSize, Role::Ink, left ? Align::Left : Align::Right, true});
  }
  return places.empty() ? top : places.back() + 1.5;
}

}  // namespace

double add_side_callouts(Figure& figure, std::vector<Callout> callouts, double middle_x, double top) {
  const auto split = std::stable_partition(callouts.begin(), callouts.end(),
                                           [&](const auto& c) { return c.mark.x < middle_x; });
  const double left = add_column(figure, {callouts.begin(), split}, true, top);
  const double right = add_column(figure, {split, callouts.end()}, false, top);
  for (const auto& c : callouts) figure.items.emplace_back(Mark{c.mark, c.shape, 2.6, c.role, c.tag});
  return std::max(left, right);
}

}  // namespace spile::figures
