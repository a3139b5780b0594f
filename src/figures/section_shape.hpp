// Inside of src/figures: half-breadths of a plausible section that passes through a given point. mm.
#pragma once

#include <vector>

#include "figures/hull_form.hpp"
#include "figures/section.hpp"

namespace spile::figures {

class SectionShape {
 public:
  SectionShape(const HullForm& form, const OpeningSection& section);

  [[nodiscard]] double sheer() const { return sheer_; }
  [[nodiscard]] double depth() const { return depth_; }  // of the canoe body, > 0
  [[nodiscard]] double half_breadth(double height) const;
  [[nodiscard]] double widest() const { return at_sheer_ > at_water_ ? at_sheer_ : at_water_; }
  // From the sheer on the low side down and up to the sheer on the other; x toward the low side.
  [[nodiscard]] std::vector<At> outline() const;

 private:
  void pass_through(double height, double half_breadth);

  double sheer_, depth_, at_sheer_, at_water_;
  double fullness_ = 2.2;  // exponent of the curve under water: 1 a straight V, large a box
};

}  // namespace spile::figures
