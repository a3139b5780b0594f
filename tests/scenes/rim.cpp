#include "rim.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace spile::scenes {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;

// Radial depth of a chip at `mm` along the rim from its middle: a shell-like bite.
double bite(const Chip& chip, double mm) {
  const double t = 2 * mm / chip.width_mm;
  return std::abs(t) < 1 ? chip.depth_mm * std::sqrt(1 - t * t) : 0;
}

}  // namespace

Rim::Rim(const Hole& hole, std::uint64_t seed) : hole_(hole) {
  const auto [a, b] = semi_axes(hole);
  major_ = a;
  minor_ = b;
  cos_ = std::cos(hole.major_at_deg * kTurn / 360);
  sin_ = std::sin(hole.major_at_deg * kTurn / 360);
  Random random(seed);
  // From the 4th harmonic up, so that neither the mean diameter nor the ovality changes.
  struct Wave {
    int k;
    double size, phase;
  };
  std::vector<Wave> waves;
  for (int k = 4; k < 60; k += 1 + random.pick(3))
    waves.push_back({k, random.normal() / std::sqrt(k), random.uniform(0, kTurn)});
  double power = 0;
  for (const auto& w : waves) power += w.size * w.size / 2;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double angle = kTurn * static_cast<double>(i) / kSteps;
    const double x = std::cos(angle), y = std::sin(angle);
    const double u = x * cos_ + y * sin_, v = y * cos_ - x * sin_;
    double r = 1 / std::hypot(u / major_, v / minor_);
    for (const auto& w : waves)
      r += hole.roughness_mm * w.size / std::sqrt(power) * std::cos(w.k * angle + w.phase);
    double out = 0;
    for (const auto& chip : hole.chips)
      out = std::max(out, bite(chip, std::remainder(angle - chip.at_deg * kTurn / 360, kTurn) * r));
    rim_[i] = static_cast<float>(r);
    broken_[i] = static_cast<float>(r + out);
  }
  nearest_ = static_cast<double>(*std::min_element(rim_.begin(), rim_.end())) - 1e-3;
  farthest_ = static_cast<double>(*std::max_element(broken_.begin(), broken_.end())) + 1e-3;
}

Rim::Where Rim::where(double x, double y) const {
  const double dx = x - hole_.x, dy = y - hole_.y, r2 = dx * dx + dy * dy;
  if (r2 > farthest_ * farthest_) return Where::Outside;
  if (r2 < nearest_ * nearest_) return Where::Inside;
  const double at = (std::atan2(dy, dx) / kTurn + 1) * static_cast<double>(kSteps);
  const auto i = static_cast<std::size_t>(at);
  const auto part = static_cast<float>(at - static_cast<double>(i));
  const auto between = [&](const std::array<float, kSteps>& table) {
    const float from = table[i % kSteps], to = table[(i + 1) % kSteps];
    return static_cast<double>(from + (to - from) * part);
  };
  const double r = std::sqrt(r2);
  if (r < between(rim_)) return Where::Inside;
  return r < between(broken_) ? Where::Chip : Where::Outside;
}

std::array<double, 2> Rim::to_axes(double x, double y) const {
  return {(x * cos_ + y * sin_) / major_, (y * cos_ - x * sin_) / minor_};
}

std::optional<double> Rim::wall_depth(double x, double y, double dx, double dy) const {
  const auto [px, py] = to_axes(x - hole_.x, y - hole_.y);
  const auto [qx, qy] = to_axes(dx, dy);
  const double a = qx * qx + qy * qy, b = px * qx + py * qy, c = px * px + py * py - 1;
  if (c >= 0) return 0.0;  // in the rough fringe just outside the drilled cylinder
  if (a < 1e-12) return std::nullopt;
  const double depth = (-b + std::sqrt(b * b - a * c)) / a;
  return depth < hole_.depth_mm ? std::optional(depth) : std::nullopt;
}

}  // namespace spile::scenes
