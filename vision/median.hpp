// The middle one of some values (the upper of two); 0 for none. For this folder only.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace spile::vision {

// Leaves the values in another order.
[[nodiscard]] inline double median_of(std::span<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

[[nodiscard]] inline double median(std::vector<double> values) {
  return median_of(values);
}

}  // namespace spile::vision
