// Propagation of distributions by drawing (JCGM 101:2008, clause 7), to check what is propagated linearly.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <random>
#include <vector>

namespace spile::metrology::testing {

struct Drawn {
  double mean = 0, u = 0;
  double low = 0, high = 0;  // 95 % interval, probabilistically symmetric (JCGM 101, 7.7.2)
  [[nodiscard]] double half_width() const { return (high - low) / 2; }
};

using Random = std::mt19937_64;

// `value` draws its inputs from the generator and answers with the output quantity.
inline Drawn propagated(std::size_t draws, const std::function<double(Random&)>& value, unsigned seed = 1) {
  Random random(seed);
  std::vector<double> all(draws);
  for (double& v : all) v = value(random);
  Drawn out;
  const double n = static_cast<double>(draws);
  for (const double v : all) out.mean += v / n;
  for (const double v : all) out.u += (v - out.mean) * (v - out.mean) / (n - 1);
  out.u = std::sqrt(out.u);
  std::sort(all.begin(), all.end());
  out.low = all[static_cast<std::size_t>(0.025 * n)];
  out.high = all[static_cast<std::size_t>(0.975 * n)];
  return out;
}

}  // namespace spile::metrology::testing
