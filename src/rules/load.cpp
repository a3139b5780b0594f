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

double pull_moment_factor(double share) {
  assert(share > 0 && share < 1 && "the boss must lie within the panel");
  const double c5 = (1 - share * share) / 2;
  const double l6 = share / 4 * (share * share - 1 + 2 * std::log(1 / share));
  return l6 / c5;
}

double punching_stress(double load_n, double boss_radius_mm, double thickness_mm) {
  return load_n / (2 * std::numbers::pi * boss_radius_mm * thickness_mm);
}

double sagitta(double radius_mm, double seat_mm) {
  const double half = seat_mm / 2;
  return half >= radius_mm ? radius_mm : radius_mm - std::sqrt(radius_mm * radius_mm - half * half);
}

double edge_pressure(double moment_nmm, double base_radius_mm, double hole_radius_mm) {
  return 4 * moment_nmm * base_radius_mm /
         (std::numbers::pi * (std::pow(base_radius_mm, 4) - std::pow(hole_radius_mm, 4)));
}

LoadCheck check_load(double load_n, const SkinLoad& skin, const Strengths& strengths, double thickness_u95_mm,
                     double lever_u95_mm) {
  const double tilted = load_carried(strengths.bending_mpa, skin) / load_n;
  const double a = outer_radius(skin), b = skin.boss_radius_mm, t = skin.thickness_mm;
  const double pulled = strengths.bending_mpa /
                        (6 * pull_moment_factor(b / a) * load_n / (2 * std::numbers::pi * b) * a / (t * t));
  const double shear = strengths.shear_mpa / punching_stress(load_n, b, t);
  LoadCheck check;
  check.in_shear = shear;
  check.times = std::min({tilted, pulled, shear});
  check.governs = check.times == shear ? "shear" : "bending";
  const double by_thickness = (check.times == shear ? 1 : 2) * thickness_u95_mm / t;
  const double by_lever = check.times == tilted ? lever_u95_mm / skin.lever_mm : 0;
  check.u95 = check.times * std::hypot(strengths.u95_share, by_thickness, by_lever);
  return check;
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
