// Smooth, tileable noise of zero mean and about unit range, cheap enough for every sample.
#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

namespace spile::scenes {

// std:: distributions may differ between libraries; these draw the same everywhere.
class Random {
 public:
  explicit Random(std::uint64_t seed) : engine_(seed * 0x9E3779B97F4A7C15ULL + 0x632BE59BD9B4E019ULL) {}
  [[nodiscard]] double uniform(double from, double to) {
    return from + (to - from) * (static_cast<double>(engine_() >> 11) * 0x1.0p-53);
  }
  [[nodiscard]] double normal() {  // Box-Muller
    const double u = uniform(0x1.0p-60, 1), v = uniform(0, 6.283185307179586);
    return std::sqrt(-2 * std::log(u)) * std::cos(v);
  }
  [[nodiscard]] int pick(int n) { return static_cast<int>(uniform(0, n)); }  // 0..n-1
  [[nodiscard]] bool chance(double p) { return uniform(0, 1) < p; }

 private:
  std::mt19937_64 engine_;
};

class Noise {
 public:
  explicit Noise(std::uint64_t seed) : values_(kSide * kSide) {
    Random random(seed);
    for (auto& v : values_) v = static_cast<float>(random.uniform(-1, 1));
  }

  // Lattice spacing 1, smooth between the lattice points.
  [[nodiscard]] float at(double x, double y) const {
    const std::int64_t ix = whole(x), iy = whole(y);
    const float tx = smooth(static_cast<float>(x - static_cast<double>(ix)));
    const float ty = smooth(static_cast<float>(y - static_cast<double>(iy)));
    const float a = value(ix, iy), b = value(ix + 1, iy), c = value(ix, iy + 1), d = value(ix + 1, iy + 1);
    return (a + (b - a) * tx) + ((c + (d - c) * tx) - (a + (b - a) * tx)) * ty;
  }

  [[nodiscard]] float octaves(double x, double y) const {
    return 0.6F * at(x, y) + 0.3F * at(x * 2.1 + 17.3, y * 2.1 + 5.1) +
           0.15F * at(x * 4.3 + 3.7, y * 4.3 + 41.9);
  }

 private:
  static constexpr std::int64_t kSide = 256;
  // std::floor is a call on the oldest machines this is built for.
  static std::int64_t whole(double x) {
    const auto i = static_cast<std::int64_t>(x);
    return i - (x < static_cast<double>(i) ? 1 : 0);
  }
  static float smooth(float t) { return t * t * (3 - 2 * t); }
  [[nodiscard]] float value(std::int64_t x, std::int64_t y) const {
    return values_[static_cast<std::size_t>((y & (kSide - 1)) * kSide + (x & (kSide - 1)))];
  }
  std::vector<float> values_;
};

}  // namespace spile::scenes
