#include <cassert>
#include <cmath>
#include <numeric>

#include "metrology/uncertainty.hpp"

namespace spile::metrology {

// Two passes: the textbook one-pass formula loses every digit of s when the mean is large against it.
Repeated repeated(const std::vector<double>& readings) {
  assert(readings.size() >= 2 && "a spread needs at least two readings");
  const double n = static_cast<double>(readings.size());
  Repeated result;
  result.mean = std::accumulate(readings.begin(), readings.end(), 0.0) / n;
  double squares = 0;
  for (const double r : readings) squares += (r - result.mean) * (r - result.mean);
  result.degrees_of_freedom = n - 1;
  result.s = std::sqrt(squares / result.degrees_of_freedom);
  result.u = result.s / std::sqrt(n);
  return result;
}

Weighted weighted_mean(const std::vector<double>& values, const std::vector<double>& u) {
  assert(!values.empty() && values.size() == u.size() && "each value needs its uncertainty");
  double weights = 0, sum = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    assert(u[i] > 0 && "a value known exactly cannot be weighted against others");
    const double weight = 1 / (u[i] * u[i]);
    weights += weight;
    sum += weight * values[i];
  }
  return {sum / weights, 1 / std::sqrt(weights)};
}

}  // namespace spile::metrology
