// The outline of a drilled hole at the surface: an ellipse, its roughness, and the chips broken out of it.
#pragma once

#include <array>
#include <optional>

#include "noise.hpp"
#include "scene.hpp"

namespace spile::scenes {

class Rim {
 public:
  Rim(const Hole& hole, std::uint64_t seed);
  enum class Where { Outside, Chip, Inside };
  [[nodiscard]] Where where(double x, double y) const;  // hull frame, at the surface
  [[nodiscard]] const Hole& hole() const { return hole_; }

  // A ray that is inside the bore at (x, y, 0) and goes on by (dx, dy) for each mm of depth: the depth at
  // which it meets the wall, or nothing when it leaves through the far rim first.
  [[nodiscard]] std::optional<double> wall_depth(double x, double y, double dx, double dy) const;

 private:
  static constexpr std::size_t kSteps = 2048;
  [[nodiscard]] std::array<double, 2> to_axes(double x, double y) const;

  Hole hole_;
  double major_, minor_, cos_, sin_;  // semi-axes
  double nearest_ = 0, farthest_ = 0;
  std::array<float, kSteps> rim_{}, broken_{};
};

// Semi-axes from the mean diameter and the ovality.
[[nodiscard]] inline std::array<double, 2> semi_axes(const Hole& hole) {
  return {hole.diameter_mm / 2 * (1 + hole.ovality_pct / 200),
          hole.diameter_mm / 2 * (1 - hole.ovality_pct / 200)};
}

}  // namespace spile::scenes
