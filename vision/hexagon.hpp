// The hexagon of a nut or valve standing on the hull, seen from the front; for this folder only.
#pragma once

#include <optional>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

struct HexagonSeen {
  Hexagon hexagon;
  Point2 centre_mm = Point2::Zero();      // in the plane of its face
  std::vector<model::BudgetTerm> budget;  // of the size across flats, largest first
};

// About one of the round things seen in the picture: a nut has a stem's end or a bore in its middle. Nothing
// where no six straight sides are seen.
[[nodiscard]] std::optional<HexagonSeen> find_hexagon(const Scene& scene, const ColourView& view,
                                                      const std::vector<Circle>& round_things);

}  // namespace spile::vision
