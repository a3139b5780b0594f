#include "trends/line.hpp"

#include <cassert>
#include <cmath>

namespace spile::trends {

namespace {

// Summed in long double about the means, so that large times and values do not eat the digits.
using Sum = long double;

struct Means {
  Sum weight = 0, t = 0, value = 0;
};

Sum weight_of(const Reading& r) {
  assert(r.u > 0 && "a value without an uncertainty has no weight");
  return 1 / (Sum(r.u) * Sum(r.u));
}

Means means_of(std::span<const Reading> readings) {
  Means m;
  for (const auto& r : readings) {
    const Sum w = weight_of(r);
    m.weight += w;
    m.t += w * Sum(r.t);
    m.value += w * Sum(r.value);
  }
  m.t /= m.weight;
  m.value /= m.weight;
  return m;
}

}  // namespace

double Line::u_at(double t) const {
  return std::hypot(u_level, u_rate * (t - middle));
}

double Line::scatter() const {
  return degrees_of_freedom() > 0 ? std::sqrt(chi_squared / degrees_of_freedom()) : 1;
}

std::optional<Line> fit_line(std::span<const Reading> readings) {
  if (readings.size() < 2) return std::nullopt;
  const Means mean = means_of(readings);
  Sum tt = 0, tv = 0;
  for (const auto& r : readings) {
    const Sum w = weight_of(r), t = Sum(r.t) - mean.t;
    tt += w * t * t;
    tv += w * t * (Sum(r.value) - mean.value);
  }
  if (!(tt > 0)) return std::nullopt;
  const Sum rate = tv / tt;
  Sum chi_squared = 0;
  for (const auto& r : readings) {
    const Sum left = (Sum(r.value) - mean.value) - rate * (Sum(r.t) - mean.t);
    chi_squared += weight_of(r) * left * left;
  }
  Line line;
  line.middle = static_cast<double>(mean.t);
  line.level = static_cast<double>(mean.value);
  line.rate = static_cast<double>(rate);
  line.u_level = static_cast<double>(1 / std::sqrt(mean.weight));
  line.u_rate = static_cast<double>(1 / std::sqrt(tt));
  line.chi_squared = static_cast<double>(chi_squared);
  line.readings = static_cast<int>(readings.size());
  return line;
}

}  // namespace spile::trends
