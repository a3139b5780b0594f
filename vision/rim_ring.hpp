// The ring of hull just outside a fitted rim, laid out flat: one row a direction, one column a distance from
// the rim; and how far each place departs from what the rest of the ring shows at that distance. What goes
// all round (a bevel, old bedding, the rim's own blur) and what changes slowly round it (light, shadow) is no
// departure. For this folder only.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "vision/rim.hpp"

namespace spile::vision {

class RimRing {
 public:
  // Out to `reach_mm` from the rim; shorter where the picture ends.
  RimRing(const RimPlace& place, const FineRim& rim, double reach_mm);

  [[nodiscard]] std::size_t directions() const { return directions_; }
  [[nodiscard]] std::size_t steps() const { return steps_; }
  [[nodiscard]] double angle(std::size_t direction) const;
  [[nodiscard]] double step_mm() const { return step_mm_; }  // between columns
  [[nodiscard]] double away_mm(std::size_t step) const { return step_mm_ * static_cast<double>(step); }
  [[nodiscard]] bool seen(std::size_t direction) const { return seen_[direction] != 0; }

  // Difference from the usual colour there, coded values: luma, Cb, Cr.
  [[nodiscard]] const std::array<float, 3>& difference(std::size_t direction, std::size_t step) const {
    return difference_[direction * steps_ + step];
  }
  // The same against how much the ring varies there: about 1 where nothing is unusual.
  [[nodiscard]] float departure(std::size_t direction, std::size_t step) const {
    return departure_[direction * steps_ + step];
  }

 private:
  void read(const RimPlace& place, const FineRim& rim);
  void soften();
  [[nodiscard]] std::vector<std::vector<std::size_t>> anchor_windows() const;
  void compare();

  std::size_t directions_ = 0, steps_ = 0;
  double step_mm_ = 0, window_ = 1;
  std::vector<std::uint8_t> seen_;                // bytes: written by several threads at once
  std::vector<std::array<float, 3>> difference_;  // colours, until they are compared
  std::vector<float> departure_;
};

}  // namespace spile::vision
