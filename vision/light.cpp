#include "vision/light.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kKneeCoded = 0.04045, kKneeLight = 0.0031308;

const std::array<float, 256>& light_table() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> t{};
    for (std::size_t i = 0; i < t.size(); ++i)
      t[i] = static_cast<float>(light_from_coded(static_cast<double>(i)));
    return t;
  }();
  return table;
}

}  // namespace

double light_from_coded(double coded) {
  const double v = coded / 255.0;
  return v <= kKneeCoded ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

double coded_from_light(double light) {
  return 255.0 * (light <= kKneeLight ? 12.92 * light : 1.055 * std::pow(light, 1 / 2.4) - 0.055);
}

double coded_slope(double light) {
  return 255.0 * (light <= kKneeLight ? 12.92 : 1.055 / 2.4 * std::pow(light, 1 / 2.4 - 1));
}

Coder::Coder() {
  for (std::size_t i = 0; i < table_.size(); ++i) {
    const double root = static_cast<double>(i) / kSize;
    table_[i] = {coded_from_light(root * root), coded_slope(std::max(root * root, 0.003))};
  }
}

const Coder& Coder::table() {
  static const Coder coder;
  return coder;
}

float LightView::at(double x, double y) const {
  const auto& table = light_table();
  const int xi = static_cast<int>(x), yi = static_cast<int>(y);
  const float fx = static_cast<float>(x - xi), fy = static_cast<float>(y - yi);
  const std::uint8_t* p = grey_.ptr<std::uint8_t>(yi) + xi;
  const std::uint8_t* q = p + grey_.step[0];
  const float top = table[p[0]] + fx * (table[p[1]] - table[p[0]]);
  const float bottom = table[q[0]] + fx * (table[q[1]] - table[q[0]]);
  return top + fy * (bottom - top);
}

}  // namespace spile::vision
