// Two photos laid on the hull by a comparison; for this folder only.
#pragma once

#include <optional>
#include <string>

#include "vision/compare.hpp"
#include "vision/hull_match.hpp"

namespace spile::vision {

// A photo's reference is there as soon as it was found, also where the two could not be laid on one another.
struct Comparison::Laid {
  std::optional<FoundReference> earlier, later;
  std::string earlier_lens, later_lens;  // "assumed" or "calibrated 2026-04-12"
  std::optional<HullMatch> match;

  [[nodiscard]] const std::string& lens(Season of) const {
    return of == Season::Earlier ? earlier_lens : later_lens;
  }
  [[nodiscard]] const std::optional<FoundReference>& reference(Season of) const {
    return of == Season::Earlier ? earlier : later;
  }
  [[nodiscard]] const PlaneFromGrid& plane_from_grid(Season of) const {  // where there is a match
    return of == Season::Earlier ? match->earlier_from_grid : match->later_from_grid;
  }
};

}  // namespace spile::vision
