#include "vision/bore_depth.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr double kShallowestMm = 2.5, kDeepestMm = 45;
constexpr int kDirections = 90;
constexpr int kFewestDirections = 12;
constexpr double kClearOfRimPx = 3;  // the far rim is looked for this far within the near one at least
constexpr double kLeastStep = 12;    // coded values, half of the directions at least
constexpr double kLeastShare = 0.6;  // of the directions in which the far rim should show
constexpr double kLargestSpreadPx = 1.3;
constexpr double kEdgeU = 0.3;     // px
constexpr double kRival = 0.6;     // another depth this nearly as clear makes it doubtful
constexpr double kLeanU = 0.03;    // of the depth: bores lean by a degree or two
constexpr double kRaggedU = 0.12;  // mm

// The circle a depth draws in the plane of the near rim.
struct Drawn {
  Point2 centre = Point2::Zero();
  double radius = 0;
};

Drawn drawn_at(const RimPlace& place, const FineRim& rim, double depth) {
  const Point3 eye = place.plane.camera_mm();
  const double share = depth / (eye.z() - place.z + depth);
  return {rim.fit.centre + share * (eye.head<2>() - rim.fit.centre), rim.fit.radius * (1 - share)};
}

struct Sighting {
  RimPlace::Foot foot;
  double angle = 0;
};

// Where the far rim at that depth would show: not hidden behind the near one.
std::vector<Sighting> sightings(const RimPlace& place, const FineRim& rim, double depth) {
  const Drawn circle = drawn_at(place, rim, depth);
  std::vector<Sighting> out;
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 2 * M_PI * k / kDirections;
    const Point2 mm = circle.centre + circle.radius * Point2(std::cos(angle), std::sin(angle));
    const Point2 away = mm - rim.fit.centre;
    const double room = rim.fit.radius_at(std::atan2(away.y(), away.x())) - away.norm();
    const auto foot = place.foot(circle.centre, circle.radius, angle);
    if (room / foot.mm_per_px > kClearOfRimPx) out.push_back({foot, angle});
  }
  return out;
}

// Change of colour across the place, coded values.
double step_across(const ColourView& view, const RimPlace::Foot& foot) {
  std::array<double, 3> difference{};
  for (const double t : {1.0, 2.0, 3.0}) {
    const Point2 out = foot.px + t * foot.normal, in = foot.px - t * foot.normal;
    if (!view.holds(out.x(), out.y()) || !view.holds(in.x(), in.y())) return 0;
    const auto a = view.ycc_at(out.x(), out.y()), b = view.ycc_at(in.x(), in.y());
    for (std::size_t k = 0; k < 3; ++k) difference[k] += static_cast<double>(a[k] - b[k]) / 3;
  }
  return std::sqrt(difference[0] * difference[0] + difference[1] * difference[1] +
                   difference[2] * difference[2]);
}

struct Trial {
  double depth = 0, step = 0;
};

std::vector<Trial> trials(const RimPlace& place, const FineRim& rim) {
  std::vector<Trial> out;
  for (double depth = kShallowestMm; depth < kDeepestMm; depth *= 1.025) {
    std::vector<double> steps;
    for (const Sighting& s : sightings(place, rim, depth)) steps.push_back(step_across(place.view, s.foot));
    out.push_back({depth, static_cast<int>(steps.size()) < kFewestDirections ? 0 : median(steps)});
  }
  return out;
}

bool stands_out(const std::vector<Trial>& all, std::size_t i) {
  const double here = all[i].step;
  return here >= all[i - 1].step && here >= all[i + 1].step && here > all[i - 2].step &&
         here > all[i + 2].step;
}

// The one depth that stands out. Borders of layers are shallower circles of the same kind: with a rival
// nearly as clear nobody can tell which is the far rim.
std::optional<double> clearest(const std::vector<Trial>& all) {
  std::optional<Trial> best;
  for (std::size_t i = 2; i + 2 < all.size(); ++i) {
    if (stands_out(all, i) && (!best || all[i].step > best->step)) best = all[i];
  }
  if (!best || best->step < kLeastStep) return std::nullopt;
  for (std::size_t i = 2; i + 2 < all.size(); ++i) {
    const bool elsewhere = std::abs(std::log(all[i].depth / best->depth)) > 0.12;
    if (elsewhere && stands_out(all, i) && all[i].step > kRival * best->step) return std::nullopt;
  }
  return best->depth;
}

// Depths by the sub-pixel edges met near the expected far rim.
struct Met {
  std::vector<double> depths;
  double share = 0;      // of the directions
  double px_per_mm = 0;  // mean movement of the drawn rim with depth
};

Met depths_near(const RimPlace& place, const FineRim& rim, double depth) {
  Met out;
  const auto here = sightings(place, rim, depth);
  const Drawn deeper = drawn_at(place, rim, depth + 0.5);
  const Drawn circle = drawn_at(place, rim, depth);
  for (const Sighting& s : here) {
    const Point2 u(std::cos(s.angle), std::sin(s.angle));
    // How far the drawn rim moves along the normal for half a millimetre of depth.
    const double moved_mm = (deeper.centre - circle.centre).dot(u) + deeper.radius - circle.radius;
    const double moved_px = moved_mm / s.foot.mm_per_px;
    out.px_per_mm += 2 * std::abs(moved_px) / static_cast<double>(here.size());
    const auto edge = nearest_edge(place, s.foot, 3.5);
    if (edge && std::abs(moved_px) > 0.3) out.depths.push_back(depth + 0.5 * edge->offset / moved_px);
  }
  if (!here.empty()) out.share = static_cast<double>(out.depths.size()) / static_cast<double>(here.size());
  return out;
}

}  // namespace

std::optional<BoreDepth> bore_depth(const RimPlace& place, const FineRim& rim) {
  const auto start = clearest(trials(place, rim));
  if (!start) return std::nullopt;
  double depth = *start, spread = 0;
  Met met;
  for (int round = 0; round < 3; ++round) {
    met = depths_near(place, rim, depth);
    if (static_cast<int>(met.depths.size()) < kFewestDirections || met.share < kLeastShare)
      return std::nullopt;
    depth = median(met.depths);
    std::vector<double> away;
    for (const double d : met.depths) away.push_back(std::abs(d - depth));
    spread = 1.4826 * median(away);
    if (!(depth > 0.8 * kShallowestMm) || depth > kDeepestMm) return std::nullopt;
  }
  if (spread * met.px_per_mm > kLargestSpreadPx) return std::nullopt;
  // Neighbouring directions share the ragged edge: six of them count as one.
  const double u_edges = spread / std::sqrt(static_cast<double>(met.depths.size()) / 6.0);
  const double u_place = kEdgeU / met.px_per_mm;
  return BoreDepth{depth, std::sqrt(u_edges * u_edges + u_place * u_place + std::pow(kLeanU * depth, 2) +
                                    kRaggedU * kRaggedU)};
}

}  // namespace spile::vision
