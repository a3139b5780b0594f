// Inside of src/figures: a plausible hull from four numbers. Lengths in mm; stations from the bow, heights
// from the waterline at rest.
#pragma once

#include <string>
#include <vector>

#include "model/vessel.hpp"

namespace spile::figures {

class HullForm {
 public:
  // `needed_length_mm`: she is at least as long as her openings ask, where her length is not recorded.
  HullForm(const model::Vessel& vessel, double needed_length_mm);

  [[nodiscard]] double length() const { return length_; }
  [[nodiscard]] double beam() const { return beam_; }
  [[nodiscard]] double draught() const { return draught_; }
  [[nodiscard]] double freeboard() const { return freeboard_; }
  [[nodiscard]] double half_breadth(double station) const;  // at the sheer
  [[nodiscard]] double sheer(double station) const;         // height
  [[nodiscard]] double bottom(double station) const;  // height of the canoe body's underside, <= 0 amidships
  [[nodiscard]] double section_half_breadth(double height) const;  // of the widest section
  [[nodiscard]] double body_depth() const;                         // of the canoe body, > 0
  [[nodiscard]] bool two_hulls() const { return type_ == model::VesselType::SailMultihull; }
  [[nodiscard]] bool sails() const { return type_ != model::VesselType::Power; }
  // "beam and draught are not recorded: drawn as is usual for her length", or empty.
  [[nodiscard]] std::string assumed() const;

 private:
  model::VesselType type_;
  double length_, beam_, draught_, freeboard_;
  std::vector<std::string> missing_;
};

}  // namespace spile::figures
