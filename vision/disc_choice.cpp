#include "vision/disc_choice.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/light.hpp"

namespace spile::vision {
namespace {

constexpr int kSectors = 6;
constexpr double kFullClearness = 7.5;  // the root of the loudest step there is, all round
constexpr double kUnevenSectors = 50;   // coded values between two sixths of the face
constexpr double kUnevenFace = 40;      // coded values that a tenth of the face is off
constexpr double kBlackShare = 0.02;    // of the light outside

using Values = std::array<double, 3>;  // luma, cb, cr

double ranked(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * (static_cast<double>(values.size()) - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// Medians of a part of a ring about the ellipse's centre, distances in shares of its radius.
Values of_sector(const ColourView& view, const Ellipse& e, int sector, double from, double to) {
  constexpr int kAlong = 24, kAcross = 8;
  std::array<std::vector<double>, 3> seen;
  for (int i = 0; i < kAlong; ++i) {
    const Point2 out = e.at((sector + (i + 0.5) / kAlong) * 2 * M_PI / kSectors) - e.centre;
    for (int j = 0; j < kAcross; ++j) {
      const Point2 p = e.centre + (from + (to - from) * j / (kAcross - 1)) * out;
      if (!view.holds(p.x(), p.y())) continue;
      const auto ycc = view.ycc_at(p.x(), p.y());
      for (std::size_t k = 0; k < 3; ++k) seen[k].push_back(static_cast<double>(ycc[k]));
    }
  }
  Values out{};
  for (std::size_t k = 0; k < 3; ++k) out[k] = ranked(seen[k], 0.5);
  return out;
}

double apart(const Values& a, const Values& b) {
  double square = 0;
  for (std::size_t k = 0; k < 3; ++k) square += (a[k] - b[k]) * (a[k] - b[k]);
  return std::sqrt(square);
}

// How far off its usual luma the tenth of the face that is furthest off lies.
double unevenness(const ColourView& view, const Ellipse& e, double usual) {
  std::vector<double> off;
  for (int i = 0; i < 40; ++i) {
    for (int j = 0; j < 10; ++j) {
      const Point2 p = e.centre + 0.9 * std::sqrt((j + 0.5) / 10) * (e.at(i * 2 * M_PI / 40) - e.centre);
      if (view.holds(p.x(), p.y()))
        off.push_back(std::abs(static_cast<double>(view.ycc_at(p.x(), p.y())[0]) - usual));
    }
  }
  return ranked(off, 0.9);
}

}  // namespace

double disc_likeness(const Picture::Pixels& pixels, const RoundSeen& round) {
  const ColourView view(pixels);
  std::array<Values, kSectors> inside{}, outside{};
  std::vector<double> luma, around;
  double spread = 0;
  for (int s = 0; s < kSectors; ++s) {
    const auto k = static_cast<std::size_t>(s);
    inside[k] = of_sector(view, round.outline, s, 0.55, 0.9);
    outside[k] = of_sector(view, round.outline, s, 1.12, 1.35);
    luma.push_back(inside[k][0]);
    around.push_back(outside[k][0]);
    for (std::size_t other = 0; other < k; ++other)
      spread = std::max(spread, apart(inside[k], inside[other]));
  }
  const double darkest =
      light_from_coded(ranked(luma, 0)) / std::max(0.01, light_from_coded(ranked(around, 0.5)));
  const double uneven = unevenness(view, round.outline, ranked(luma, 0.5));
  return round.clearness / kFullClearness * std::exp(-std::pow(spread / kUnevenSectors, 2)) *
         std::exp(-std::pow(uneven / kUnevenFace, 2)) /
         (1 + std::pow(kBlackShare / std::max(1e-6, darkest), 2));
}

}  // namespace spile::vision
