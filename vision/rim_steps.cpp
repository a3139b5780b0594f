#include "vision/rim_steps.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {

constexpr float kLeastContrast = 10;

std::vector<std::pair<double, double>> steps_of(const ColourProfile& colours) {
  const std::vector<Colour>& coded = colours.coded;
  const std::size_t n = coded.size();
  std::vector<float> square(n, 0.0F);
  for (std::size_t i = 2; i + 2 < n; ++i) {
    for (std::size_t k = 0; k < 3; ++k) {
      const float d = coded[i + 2][k] + coded[i + 1][k] - coded[i - 1][k] - coded[i - 2][k];
      square[i] += d * d;
    }
  }
  constexpr float kLeast = 12 * kLeastContrast * kLeastContrast;
  std::vector<std::pair<double, double>> out;
  for (std::size_t i = 2; i + 2 < n; ++i) {
    if (square[i] >= kLeast && square[i] > square[i - 1] && square[i] >= square[i + 1])
      out.emplace_back(colours.t(i), std::sqrt(static_cast<double>(square[i]) / 12));
  }
  return out;
}

namespace {

// The step that speaks loudest within reach, near ones a little louder.
std::optional<double> loudest(const ColourProfile& colours, double reach) {
  double best = 0, at = 0;
  for (const auto& [t, contrast] : steps_of(colours)) {
    if (std::abs(t) > reach) continue;
    const double loud = std::min(contrast, 80.0) * (1 - 0.6 * std::abs(t) / reach);
    if (loud > best) {
      best = loud;
      at = t;
    }
  }
  if (best == 0) return std::nullopt;
  return at;
}

// The outermost step within reach that is not faint beside the others.
std::optional<double> outermost(const ColourProfile& colours, double reach) {
  const auto steps = steps_of(colours);
  double strongest = 0;
  for (const auto& [t, contrast] : steps) {
    if (std::abs(t) <= reach) strongest = std::max(strongest, contrast);
  }
  std::optional<double> at;
  for (const auto& [t, contrast] : steps) {
    if (std::abs(t) <= reach && contrast >= std::max(12.0, 0.3 * strongest) && (!at || t > *at)) at = t;
  }
  return at;
}

// The step nearest to the place expected.
std::optional<double> nearest(const ColourProfile& colours, double reach) {
  std::optional<double> at;
  for (const auto& [t, contrast] : steps_of(colours)) {
    if (std::abs(t) <= (at ? std::abs(*at) : reach)) at = t;
  }
  return at;
}

}  // namespace

std::optional<double> chosen_step(const ColourProfile& colours, double reach, StepChoice choice) {
  switch (choice) {
    case StepChoice::Outermost:
      return outermost(colours, reach);
    case StepChoice::Nearest:
      return nearest(colours, reach);
    case StepChoice::Clearest:
      break;
  }
  return loudest(colours, reach);
}

double clear_of_other_steps(const ColourProfile& colours, double at) {
  double clear = 4;
  for (const auto& [t, contrast] : steps_of(colours)) {
    if (t != at) clear = std::min(clear, std::max(2.5, std::abs(t - at) - 1.5));
  }
  return clear;
}

}  // namespace spile::vision
