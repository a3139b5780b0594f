#include "vision/reference.hpp"

#include <cmath>

namespace spile::vision {

std::vector<LengthTerm> reference_terms(const FoundReference& reference,
                                        const std::function<double(const Plane&, double)>& value) {
  std::vector<LengthTerm> out;
  const double z = reference.hull_z();
  const auto spread = reference.plane.spread_of([&](const Plane& plane) { return value(plane, z); });
  for (std::size_t i = 0; i < spread.size(); ++i) out.push_back({reference.plane.shares[i].term, spread[i]});
  if (reference.u_height_mm > 0) {
    const double h = reference.u_height_mm;
    const double up = value(reference.plane, z + h), down = value(reference.plane, z - h);
    out.push_back({"height off the plane", std::abs(up - down) / 2});
  }
  const double here = value(reference.plane, z), length = std::abs(here);
  if (reference.other_plane) {
    const double other = 1 / (1 + std::exp(reference.log_odds));
    const double apart = std::abs(std::abs(value(*reference.other_plane, z)) - length);
    out.push_back({"tilt to either side", std::sqrt(other * (1 - other)) * apart});
  }
  if (!reference.planes.empty()) {
    double variance = 0;
    for (const WeighedPlane& other : reference.planes) {
      if (other.weight < 1e-6) continue;
      variance += other.weight * std::pow(value(other.plane, z) - here, 2);
    }
    out.push_back({"tilt of the camera", std::sqrt(variance)});
  }
  for (const ScaleDoubt& doubt : reference.scale_doubts) out.push_back({doubt.term, doubt.rel_u * length});
  return out;
}

}  // namespace spile::vision
