#include "vision/bell.hpp"

#include <cmath>

namespace spile::vision {

Bell::Bell() {
  for (std::size_t i = 0; i < table_.size(); ++i) {
    const double z = static_cast<double>(i) / kPerUnit - kReach;
    table_[i] = {0.5 * std::erfc(-z * M_SQRT1_2), std::exp(-0.5 * z * z) * 0.3989422804014327};
  }
}

const Bell& Bell::table() {
  static const Bell bell;
  return bell;
}

}  // namespace spile::vision
