// Every circle that shows about an opening: its rims, the borders of layers in its bore, rings of old bedding
// on the hull. Coarse and generous, weak ones beside loud ones; for this folder only.
#pragma once

#include <vector>

#include "vision/rim.hpp"

namespace spile::vision {

struct CircleAbout {
  Circle circle;
  double support = 0;  // share of the directions with an edge on it
};

// Circles of three fifths to eight fifths of the radius of `about`, centres up to a quarter of it away, or
// two thirds in the direction in which a near rim would lie; best supported first. Every direction has one
// voice on each, however loud its edge.
[[nodiscard]] std::vector<CircleAbout> circles_about(const RimPlace& place, const Circle& about);

}  // namespace spile::vision
