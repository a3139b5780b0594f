#include "hydraulics/flooding.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cassert>
#include <cmath>

#include "hydraulics/metric.hpp"
#include "model/heel.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;
using units::Minute;

double speed(double head_m) {
  return std::sqrt(2 * kGravity * head_m);
}

void check(Millimetre bore, double coefficient) {
  assert(bore > Millimetre(0) && "a hole has a bore");
  assert(coefficient > 0 && coefficient <= 1 && "a coefficient is a share of the ideal flow");
}

}  // namespace

double coefficient_from_losses(double losses) {
  assert(losses >= 0 && "losses are not negative");
  return 1 / std::sqrt(1 + losses);
}

double small_orifice_coefficient(Millimetre bore, Millimetre head) {
  assert(head > Millimetre(0) && "the table starts above no head");
  const double head_ft = units::in_inches(head) / 12;
  return 0.6075 + 0.0098 / std::sqrt(head_ft) - 0.0037 * units::in_inches(bore);
}

LitrePerMinute flooding_rate(Millimetre bore, Millimetre head, double coefficient) {
  check(bore, coefficient);
  if (head <= Millimetre(0)) return LitrePerMinute(0);
  return LitrePerMinute(coefficient * area_m2(bore) * speed(metres(head)) * kLitresPerMinute);
}

LitrePerMinute inflow(Millimetre bore, Millimetre lowest_point_depth, double coefficient) {
  check(bore, coefficient);
  const double depth = metres(lowest_point_depth), diameter = metres(bore), radius = diameter / 2;
  if (depth <= 0) return LitrePerMinute(0);
  // By angle from the lowest point up: the chord's ends and the water's surface are smooth there.
  const double wet = std::min(depth, diameter);
  const double top = std::acos(std::clamp(1 - wet / radius, -1.0, 1.0));
  const auto strip = [&](double angle) {
    const double up = radius * (1 - std::cos(angle));
    const double half_width = radius * std::sin(angle);
    return 2 * half_width * half_width * speed(std::max(0.0, depth - up));
  };
  const double flow =
      boost::math::quadrature::gauss_kronrod<double, 31>::integrate(strip, 0.0, top, 10, 1e-9);
  return LitrePerMinute(coefficient * flow * kLitresPerMinute);
}

Inflow inflow_at_rest_and_heeled(Millimetre bore, Millimetre height, Millimetre sinkage,
                                 Millimetre half_breadth, units::Degree heel, double coefficient) {
  Inflow result;
  result.depth_at_rest = sinkage - height;
  result.depth_heeled = result.depth_at_rest + model::heel_rise(half_breadth, heel);
  result.at_rest = inflow(bore, result.depth_at_rest, coefficient);
  result.heeled = inflow(bore, result.depth_heeled, coefficient);
  return result;
}

std::optional<Minute> time_to_fill(units::Litre volume, LitrePerMinute inflow, LitrePerMinute pumps) {
  const LitrePerMinute net = inflow - pumps;
  if (net <= LitrePerMinute(0)) return std::nullopt;
  return Minute(volume.value() / net.value());
}

Minute time_as_head_falls(units::SquareMillimetre area, Millimetre bore, Millimetre from, Millimetre to,
                          double coefficient) {
  check(bore, coefficient);
  assert(from >= to && to >= Millimetre(0) && "the head falls, and not below nothing");
  const double plan_m2 = area.value() / (kMillimetresPerMetre * kMillimetresPerMetre);
  const double fall = std::sqrt(metres(from)) - std::sqrt(metres(to));
  const double seconds = 2 * plan_m2 * fall / (coefficient * area_m2(bore) * std::sqrt(2 * kGravity));
  return Minute(seconds / 60);
}

units::Newton plug_force(Millimetre bore, Millimetre head) {
  return units::Newton(kSeaWater * kGravity * metres(head) * area_m2(bore));
}

}  // namespace spile::hydraulics
