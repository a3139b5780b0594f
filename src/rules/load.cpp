#include "rules/load.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace spile::rules {

namespace {

// A block that nearly fills the panel is judged in a panel a little larger: clamping right at its edge would
// promise a strength that no hull has.
constexpr double kLargestShare = 0.8;

double outer_radius(const SkinLoad& skin) {
  return std::max(skin.panel_radius_mm, skin.boss_radius_mm / kLargestShare);
}

double stress_per_newton(const SkinLoad& skin, double thickness) {
  const double a = outer_radius(skin);
  return tilt_stress_factor(skin.boss_radius_mm / a) * skin.lever_mm / (a * thickness * thickness);
}

}  // namespace

double tilt_stress_factor(double share) {
  assert(share > 0 && share < 1 && "the boss must lie within the panel");
  const double square = share * share;
  return 3 / std::numbers::pi * (1 - square) / (share * (1 + square));
}

double stress_under(double load_n, const SkinLoad& skin) {
  return load_n * stress_per_newton(skin, skin.thickness_mm);
}

double load_carried(double stress_mpa, const SkinLoad& skin) {
  return stress_mpa / stress_per_newton(skin, skin.thickness_mm);
}

double thickness_needed(double load_n, double stress_mpa, const SkinLoad& skin) {
  return std::sqrt(load_n * stress_per_newton(skin, 1) / stress_mpa);
}

}  // namespace spile::rules
