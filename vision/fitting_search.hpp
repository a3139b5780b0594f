// Round things in a picture that may be a fitting's flange and, within it, its bore; for this folder only.
#pragma once

#include <optional>
#include <vector>

#include "vision/rim.hpp"
#include "vision/subject.hpp"

namespace spile::vision {

// About where a mushroom head's outer edge and its bore's lie over the hull, mm: near enough to look there.
constexpr double kUsualRimHeight = 1.6, kUsualBoreHeight = 5.4;

struct Ring {
  Circle circle;
  FineRim rim;
};

struct FittingRings {
  Ring flange;
  std::optional<Ring> bore;
};

[[nodiscard]] std::vector<Circle> circles_everywhere(const Scene& scene);
// Flanges a round thing may belong to: it is the flange itself, or its bore.
[[nodiscard]] std::vector<Circle> circles_about(const Scene& scene, const std::vector<Hole>& round_things);

// The likeliest flange with a bore near the candidates; nothing when there is none, or when asked to stop.
[[nodiscard]] std::optional<FittingRings> find_fitting(const Scene& scene, const ColourView& view,
                                                       const std::vector<Circle>& candidates);

}  // namespace spile::vision
