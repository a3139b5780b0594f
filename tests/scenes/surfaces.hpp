// What things are made of: reflectance (linear, 0..1) over a surface.
#pragma once

#include "noise.hpp"
#include "scene.hpp"

namespace spile::scenes {

struct Rgb {
  float r = 0, g = 0, b = 0;
};
inline Rgb operator*(Rgb a, float k) {
  return {a.r * k, a.g * k, a.b * k};
}
inline Rgb mix(Rgb a, Rgb b, float share) {
  return {a.r + (b.r - a.r) * share, a.g + (b.g - a.g) * share, a.b + (b.b - a.b) * share};
}

class Surfaces {
 public:
  explicit Surfaces(const Scene& scene);
  [[nodiscard]] Rgb hull(double x, double y) const;
  [[nodiscard]] Rgb bench(double x, double y) const;
  [[nodiscard]] Rgb bore_wall(double around_mm, double depth_mm) const;
  [[nodiscard]] Rgb broken(double x, double y) const;  // laminate laid bare by a chip
  [[nodiscard]] Rgb cavity(double x, double y) const;
  [[nodiscard]] Rgb paper(double reflectance) const {
    const auto r = static_cast<float>(reflectance);
    return {r, r, 0.98F * r};
  }
  [[nodiscard]] Rgb ink() const { return {0.018F, 0.018F, 0.02F}; }
  [[nodiscard]] Rgb steel(double along, double across) const;
  [[nodiscard]] Rgb coin(double x, double y) const;
  [[nodiscard]] Rgb sealant(double x, double y, double tone) const;
  [[nodiscard]] Rgb layer(const CutEdge& edge, std::size_t index, double through, double along) const;
  [[nodiscard]] Rgb flange(FlangeMaterial material, double x, double y) const;
  [[nodiscard]] float grain(double x, double y) const { return noise_.at(x, y); }

 private:
  Hull hull_;
  Noise noise_;
};

}  // namespace spile::scenes
