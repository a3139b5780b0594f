#include "vision/thinnest.hpp"

#include <algorithm>
#include <cmath>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kStretchMm = 4;                       // of the edge that is taken together
constexpr double kStepMm = 0.5;                        // from one stretch to the next
constexpr std::size_t kFewestPoints = 4;               // of either face on a stretch
constexpr double kLeastMm = 0.2, kLeastShare = 0.015;  // of the thickness
constexpr double kClearly = 4;                         // standard uncertainties
constexpr double kCorrelated = 2;                      // neighbouring places share a face's waviness

struct Place {
  double along = 0, off = 0;
};

// Of one face: how far its places lie off its line, along the edge.
std::vector<Place> places_of(const std::vector<BoundaryPoint>& points, const CutFace& face,
                             std::size_t boundary) {
  std::vector<Place> out;
  for (std::size_t i = 0; i < points.size() && i < face.misses.size(); ++i)
    if (points[i].boundary == boundary) out.push_back({points[i].v, face.misses[i]});
  return out;
}

double scatter_of(const std::vector<Place>& places) {
  std::vector<double> size;
  for (const Place& p : places) size.push_back(std::abs(p.off));
  return std::max(0.01, 1.4826 * median(std::move(size)));
}

struct Stretch {
  double off = 0;
  std::size_t places = 0;
};

Stretch stretch_at(const std::vector<Place>& places, double along) {
  std::vector<double> off;
  for (const Place& p : places)
    if (std::abs(p.along - along) <= 0.5 * kStretchMm) off.push_back(p.off);
  return {median(off), off.size()};
}

}  // namespace

std::optional<LocalThinning> thinnest_of(const std::vector<BoundaryPoint>& points, const CutFace& face) {
  const auto outer = places_of(points, face, 0), inner = places_of(points, face, face.positions.size() - 1);
  if (outer.empty() || inner.empty()) return std::nullopt;
  const auto by_place = [](const Place& a, const Place& b) { return a.along < b.along; };
  const auto [low, high] = std::minmax_element(outer.begin(), outer.end(), by_place);
  const double u_outer = scatter_of(outer), u_inner = scatter_of(inner);
  std::optional<LocalThinning> best;
  for (double along = low->along + 0.5 * kStretchMm; along <= high->along - 0.5 * kStretchMm;
       along += kStepMm) {
    const Stretch first = stretch_at(outer, along), last = stretch_at(inner, along);
    if (first.places < kFewestPoints || last.places < kFewestPoints) continue;
    const double change = last.off - first.off;
    if (best && change >= best->change) continue;
    // A median's standard deviation is 1.25 times a mean's.
    const double u = 1.25 * std::sqrt(kCorrelated * (u_outer * u_outer / static_cast<double>(first.places) +
                                                     u_inner * u_inner / static_cast<double>(last.places)));
    best = LocalThinning{along, change, u, first.off, last.off};
  }
  const double thickness = face.positions.back() - face.positions.front();
  if (!best || -best->change < std::max({kLeastMm, kLeastShare * thickness, kClearly * best->u}))
    return std::nullopt;
  return best;
}

}  // namespace spile::vision
