#include "vision/edge_by_hand.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/edge_profile.hpp"
#include "vision/edge_report.hpp"

namespace spile::vision {
namespace {

struct FaceLine {
  Point2 from, to;  // px
};

// Moves both ends of a line a person placed to the edge nearest to it, where there is one within a
// millimetre; nothing when there is none.
std::optional<FaceLine> snapped(const Scene& scene, const FaceLine& line) {
  const Point2 along = (line.to - line.from).normalized(), normal(-along.y(), along.x());
  const double mm_per_px = std::max(1e-6, scene.reference.plane.mm_per_px(0.5 * (line.from + line.to)));
  const double reach = std::max(5.0, 1.0 / mm_per_px);
  const LightView view(scene.pixels.grey);
  Eigen::Matrix2d matrix = Eigen::Matrix2d::Zero();
  Point2 sum = Point2::Zero();
  int found = 0;
  const double length = (line.to - line.from).norm();
  for (double s = 0.05; s < 1; s += 0.05) {
    const Point2 foot = line.from + s * (line.to - line.from);
    const Profile profile = sample_profile(view, {foot.x(), foot.y()}, {normal.x(), normal.y()}, 2 * reach,
                                           0.5, std::max(2, static_cast<int>(0.04 * length)));
    if (profile.light.empty()) continue;
    double nearest = 2 * reach;
    for (const EdgePeak& peak : edge_peaks(profile, 8))
      if (std::abs(peak.offset) < std::abs(nearest)) nearest = peak.offset;
    if (std::abs(nearest) > reach) continue;
    const auto fitted = fit_edge(profile, nearest, 4, 6);
    if (!fitted) continue;
    const Point2 row(1 - s, s);
    matrix += row * row.transpose();
    sum += row * fitted->offset;
    ++found;
  }
  if (found < 6) return std::nullopt;
  const Point2 shift = matrix.inverse() * sum;
  return FaceLine{line.from + shift[0] * normal, line.to + shift[1] * normal};
}

FoundFace face_between(const Scene& scene, const FaceLine& outer, const FaceLine& inner, double thickness) {
  const Plane& plane = scene.reference.plane;
  const Point2 a = *plane.mm_from_px(outer.from), b = *plane.mm_from_px(outer.to);
  const Point2 along = (b - a).normalized();
  Point2 across(-along.y(), along.x());
  const Point2 middle = 0.5 * (*plane.mm_from_px(inner.from) + *plane.mm_from_px(inner.to));
  if (across.dot(middle - a) < 0) across = -across;
  FoundFace found;
  found.band = cut_band(scene.pixels, plane, a, across, along, thickness, (b - a).norm(), 0.1);
  // What lies beyond the two faces is no part of the question: a colour like no layer's closes both ends.
  std::vector<Tint> line =
      line_across(found.band, {1, 1, 1}, 0.5 * found.band.depth(), found.band.depth(), 0);
  const Tint beyond{2, 2, -6, true};
  constexpr std::size_t kEnds = 12;
  line.insert(line.begin(), kEnds, beyond);
  line.insert(line.end(), kEnds, beyond);
  auto reading = read_layers(line, found.band.step, Backdrop{2, 2, 0.05, 0.05, 1});
  const double ends = kEnds * found.band.step;
  FaceWindow window{0.5 * found.band.depth(), 0, {}};
  if (reading) window.reading = *reading;
  auto& stretches = window.reading.stretches;
  for (Stretch& s : stretches) {
    s.from -= ends;
    s.to -= ends;
  }
  if (stretches.empty() || stretches.front().from > 0.4 || stretches.back().to < thickness - 0.4)
    stretches = {{LayerKind::Laminate, 0, thickness}};
  stretches.front().from = 0;
  stretches.back().to = thickness;
  found.windows = {window};
  return found;
}

}  // namespace

Expected<Edge> edge_by_hand(const Scene& scene) {
  const auto& placed = scene.request.edge_by_hand;
  const Plane& plane = scene.reference.plane;
  FaceLine outer{point(placed[0]), point(placed[1])}, inner{point(placed[2]), point(placed[3])};
  // A hand finds a line to about a pixel and a half; the edge under it, once snapped to, to a third.
  constexpr double kPlacedPx = 1.5, kSnappedPx = 0.3;
  double outer_px = kPlacedPx, inner_px = kPlacedPx;
  const auto snap = [&](FaceLine& line, double& u_px) {
    const auto to = scene.request.snap_to_edges ? snapped(scene, line) : std::nullopt;
    if (!to) return;
    line = *to;
    u_px = kSnappedPx;
  };
  snap(outer, outer_px);
  snap(inner, inner_px);
  for (const Point2& p : {outer.from, outer.to, inner.from, inner.to})
    if (!plane.mm_from_px(p))
      return refuse("too-tilted", "A face line was placed above the plane's horizon.");
  const Point2 a = *plane.mm_from_px(outer.from), along = (*plane.mm_from_px(outer.to) - a).normalized();
  const Point2 middle = 0.5 * (*plane.mm_from_px(inner.from) + *plane.mm_from_px(inner.to)) - a;
  const double thickness = std::abs(along.x() * middle.y() - along.y() * middle.x());
  if (!(thickness > 0.5) || !std::isfinite(thickness)) {
    return refuse("nothing-found", "The two face lines lie on one another: place one on each outer face.");
  }
  const FoundFace found = face_between(scene, outer, inner, thickness);
  CutFace face;
  face.positions = boundaries_of(found.windows.front().reading);
  const double mm_per_px = plane.mm_per_px(outer.from);
  face.u.assign(face.positions.size(), std::max(0.05, std::max(outer_px, inner_px) * mm_per_px));
  Edge edge = described(scene, found, face);
  edge.by_hand = true;
  // Two lines tell a thickness; nobody said what lies between them unless layers were seen there.
  if (edge.layers.size() < 2) {
    edge.layers.clear();
    edge.construction.clear();
  }
  return edge;
}

}  // namespace spile::vision
