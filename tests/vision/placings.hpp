// Photos with known truth and points on them as a careless hand places them.
#pragma once

#include <cmath>
#include <utility>
#include <vector>

#include "scenes/draw.hpp"
#include "scenes/noise.hpp"
#include "vision/measure.hpp"

namespace spile::vision::testing {

using scenes::Random;

inline scenes::Drawn small_scene(scenes::Kind kind, std::uint64_t seed, scenes::Range tilt_deg) {
  scenes::Priors priors;
  priors.width_px = 1200;
  priors.height_px = 900;
  priors.fill = kind == scenes::Kind::HoleWithoutReference ? scenes::Range{1.5, 2.5} : priors.fill;
  priors.tilt_deg = tilt_deg;
  return scenes::draw(kind, seed, priors);
}

inline Picture picture_of(const scenes::Photo& photo) {
  return *Picture::decode(photo.jpeg, "scene");
}

inline PixelPoint misplaced(const scenes::Pixel& p, double sd_px, Random& random) {
  return {p.x + sd_px * random.normal(), p.y + sd_px * random.normal()};
}

// `count` points spread over an arc of the rim, each in its own stretch.
inline std::vector<PixelPoint> points_on_rim(const scenes::HoleTruth& hole, int count, double arc_deg,
                                             double sd_px, Random& random) {
  const double start = random.uniform(0, 360);
  const auto n = hole.rim_px.size();
  std::vector<PixelPoint> out;
  for (int i = 0; i < count; ++i) {
    const double share = count > 1 ? static_cast<double>(i) / (count - 1) : 0;
    const double at = (start + share * arc_deg) / 360 * static_cast<double>(n);
    const auto k = static_cast<std::size_t>(at);
    const double t = at - static_cast<double>(k);
    const scenes::Pixel &a = hole.rim_px[k % n], &b = hole.rim_px[(k + 1) % n];
    out.push_back(misplaced({a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)}, sd_px, random));
  }
  return out;
}

// Two points beside a hole at the hull's origin, 25 to 80 mm apart in any direction.
inline PointsReference two_points(const scenes::Drawn& drawn, double sd_px, Random& random) {
  const double reach = drawn.scene.holes.at(0).diameter_mm / 2 + 2;
  const double length = random.uniform(25, 80), turn = random.uniform(0, 2 * M_PI);
  const double c = std::cos(turn), s = std::sin(turn), half = length / 2;
  const auto at = [&](double along) {
    return misplaced(scenes::project(drawn.camera, along * c - reach * s, along * s + reach * c, 0), sd_px,
                     random);
  };
  return {at(-half), at(half), length};
}

}  // namespace spile::vision::testing
