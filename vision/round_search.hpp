// Round things in a picture of which no plane is known yet: coins and washers as ellipses, to about a
// hundredth of their radius; for this folder only.
#pragma once

#include <vector>

#include "vision/colour_profile.hpp"
#include "vision/ellipse.hpp"

namespace spile::vision {

struct RoundSeen {
  Ellipse outline;              // pixels of the whole picture
  double support = 0;           // share of the directions with an edge on it
  std::vector<Ellipse> within;  // others nearly as clear, and not much smaller
  double clearness = 0;  // mean over all directions of the root of the step there, capped, coded values
};

// The outermost clear outline about a point within the round thing, of a mean radius in pixels between two.
[[nodiscard]] std::optional<RoundSeen> round_thing_at(const Picture::Pixels& pixels, const Point2& at,
                                                      double smallest, double largest);

// What is round and clear anywhere, clearest first, one outline for each place.
[[nodiscard]] std::vector<RoundSeen> round_things(const Picture::Pixels& pixels);

}  // namespace spile::vision
