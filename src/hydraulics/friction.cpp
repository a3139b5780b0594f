#include "hydraulics/friction.hpp"

#include <cassert>
#include <cmath>

namespace spile::hydraulics {

namespace {

// Halley on x = 1/sqrt(f) of x + 2 log10(e/3.7D + 2.51 x/Re) = 0; it starts within 2 %, and the error after
// a step goes with its cube.
double colebrook(double reynolds, double roughness) {
  static const double two_logs = 2 / std::log(10.0);
  const double rough = roughness / 3.7, smooth = 2.51 / reynolds;
  double x = 1 / std::sqrt(haaland(reynolds, roughness));
  for (int i = 0; i < 20; ++i) {
    const double inside = rough + smooth * x;
    const double bend = two_logs * smooth / inside, slope = 1 + bend;
    const double newton = (x + two_logs * std::log(inside)) / slope;
    const double step = newton / (1 + 0.5 * newton * bend * smooth / (inside * slope));
    x -= step;
    if (std::abs(step) < 1e-5 * x) break;
  }
  return 1 / (x * x);
}

}  // namespace

double haaland(double reynolds, double relative_roughness) {
  const double x = -1.8 * std::log10(std::pow(relative_roughness / 3.7, 1.11) + 6.9 / reynolds);
  return 1 / (x * x);
}

double friction_factor(double reynolds, double relative_roughness) {
  assert(reynolds > 0 && relative_roughness >= 0 && relative_roughness <= 0.1 &&
         "outside of the Moody chart");
  if (reynolds <= kLaminarUpTo) return 64 / reynolds;
  if (reynolds >= kTurbulentFrom) return colebrook(reynolds, relative_roughness);
  const double way = (reynolds - kLaminarUpTo) / (kTurbulentFrom - kLaminarUpTo);
  return std::lerp(64 / kLaminarUpTo, colebrook(kTurbulentFrom, relative_roughness), way);
}

double contraction_loss(double ratio) {
  assert(ratio > 0 && ratio <= 1 && "smaller bore over larger");
  return 0.5 * (1 - ratio * ratio);
}

double expansion_loss(double ratio) {
  assert(ratio > 0 && ratio <= 1 && "smaller bore over larger");
  const double step = 1 - ratio * ratio;
  return step * step;
}

}  // namespace spile::hydraulics
