#include "surfaces.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace spile::scenes {

Surfaces::Surfaces(const Scene& scene) : hull_(scene.hull), noise_(scene.seed) {}

namespace {

constexpr double kTow = 0.78 / std::numbers::pi;  // half waves a mm

// A sine to the eye, half wavelength 1.
float wave(double x) {
  const auto i = static_cast<std::int64_t>(x) - (x < 0 ? 1 : 0);
  const auto t = static_cast<float>(x - static_cast<double>(i));
  const float hump = 4 * t * (1 - t);
  return i & 1 ? -hump : hump;
}

}  // namespace

Rgb Surfaces::hull(double x, double y) const {
  switch (hull_) {
    case Hull::White:
      return Rgb{0.72F, 0.72F, 0.68F} *
             (1 + 0.05F * noise_.octaves(x / 28, y / 28) + 0.02F * noise_.at(x * 1.3, y * 1.3));
    case Hull::Dark:
      return Rgb{0.022F, 0.034F, 0.062F} *
             (1 + 0.30F * noise_.octaves(x / 14, y / 14) + 0.22F * noise_.at(x * 1.1, y * 1.1));
    case Hull::BareLaminate: {
      // Woven roving: tows about 4 mm wide, over and under.
      const auto over = wave(x * kTow) * wave(y * kTow);
      const float strand = over > 0 ? noise_.at(x * 2.2, y / 3) : noise_.at(x / 3, y * 2.2);
      return Rgb{0.40F, 0.36F, 0.20F} *
             (1 + 0.10F * over + 0.13F * strand + 0.12F * noise_.octaves(x / 30, y / 30));
    }
    case Hull::Timber:
      break;
  }
  const double bent = y + 2.5 * static_cast<double>(noise_.at(x / 60, y / 25));
  return Rgb{0.36F, 0.20F, 0.105F} *
         (1 + 0.22F * noise_.at(x / 45, bent / 1.7) + 0.16F * noise_.at(x / 16, bent * 1.6) +
          0.10F * noise_.octaves(x / 40, y / 20));
}

Rgb Surfaces::bench(double x, double y) const {
  return Rgb{0.16F, 0.11F, 0.075F} *
         (1 + 0.25F * noise_.at(x / 2.0, y / 50) + 0.20F * noise_.octaves(x / 25, y / 25));
}

Rgb Surfaces::bore_wall(double around_mm, double depth_mm) const {
  const float ply = noise_.at(3.3, depth_mm * 1.4);
  return Rgb{0.36F, 0.31F, 0.17F} * (1 + 0.16F * ply + 0.14F * noise_.at(around_mm / 3, depth_mm * 3));
}

Rgb Surfaces::broken(double x, double y) const {
  return Rgb{0.46F, 0.43F, 0.31F} * (1 + 0.18F * noise_.at(x * 2.3, y * 2.3));
}

Rgb Surfaces::cavity(double x, double y) const {
  return Rgb{0.016F, 0.013F, 0.011F} * (1 + 0.6F * noise_.octaves(x / 30, y / 30));
}

Rgb Surfaces::steel(double along, double across) const {
  return Rgb{0.44F, 0.45F, 0.46F} *
         (1 + 0.07F * noise_.at(along / 12, across * 3) + 0.06F * noise_.octaves(along / 40, 1));
}

Rgb Surfaces::coin(double x, double y) const {
  return Rgb{0.50F, 0.46F, 0.36F} *
         (1 + 0.10F * noise_.at(x * 0.9, y * 0.9) + 0.08F * noise_.octaves(x / 9, y / 9));
}

Rgb Surfaces::sealant(double x, double y, double tone) const {
  return Rgb{1, 0.99F, 0.95F} * (static_cast<float>(tone) * (1 + 0.12F * noise_.at(x * 0.8, y * 0.8)));
}

Rgb Surfaces::layer(const CutEdge& edge, std::size_t index, double through, double along) const {
  const auto& kind = edge.layers.at(index).kind;
  const auto contrast = static_cast<float>(edge.contrast);
  const Rgb middle{0.40F, 0.38F, 0.28F};
  if (kind == "gelcoat")
    return mix(middle, {0.74F, 0.74F, 0.71F}, contrast) * (1 + 0.03F * noise_.at(through * 2, along * 2));
  if (kind == "core")
    return mix(middle, {0.60F, 0.50F, 0.28F}, contrast) * (1 + 0.13F * noise_.at(through * 2.4, along * 2.4));
  return mix(middle, {0.26F, 0.28F, 0.17F}, contrast) *
         (1 + 0.16F * noise_.at(through * 2.1, along / 4) + 0.07F * noise_.at(through * 2.5, along * 2.5));
}

Rgb Surfaces::flange(FlangeMaterial material, double x, double y) const {
  const float worn = 1 + 0.14F * noise_.octaves(x / 9, y / 9) + 0.05F * noise_.at(x * 1.7, y * 1.7);
  switch (material) {
    case FlangeMaterial::WhitePlastic:
      return Rgb{0.68F, 0.67F, 0.62F} * (1 + 0.3F * (worn - 1));
    case FlangeMaterial::BlackPlastic:
      return Rgb{0.035F, 0.036F, 0.04F} * worn;
    case FlangeMaterial::Bronze:
      break;
  }
  return Rgb{0.34F, 0.24F, 0.10F} * worn;
}

}  // namespace spile::scenes
