#include "vision/edge_by_hand.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/edge_profile.hpp"
#include "vision/edge_report.hpp"
#include "vision/edge_vote.hpp"
#include "vision/placing.hpp"

namespace spile::vision {
namespace {

constexpr int kNormals = 40;
constexpr double kOnPx = 1.5;       // an edge this near lies on the line
constexpr double kReachSd = 2.5;    // of the placing
constexpr double kParallel = 0.03;  // rad, standard deviation of the angle between a laminate's faces

struct FaceLine {
  Point2 from, to;  // px
};

// A line that may be meant, and how likely it is beside the likeliest.
struct LikelyLine {
  FaceLine line;
  double log_weight = 0;
  double u_px = 0;  // square to itself, at its middle
};

// The edges near a line that a person placed, each as a line; the line itself where there is none.
std::vector<LikelyLine> likely_lines(const Scene& scene, const FaceLine& line, double placed_px) {
  const Point2 along = (line.to - line.from).normalized(), normal(-along.y(), along.x());
  const double length = (line.to - line.from).norm(), reach = kReachSd * placed_px + kOnPx;
  const LightView view(scene.pixels.grey);
  EdgeVote vote;
  vote.start = Eigen::Vector2d::Zero();
  vote.hold = Eigen::Matrix2d::Identity() / (placed_px * placed_px);
  vote.free = 2;
  vote.on = kOnPx;
  for (int k = 0; k < kNormals; ++k) {
    const double s = (k + 0.5) / kNormals;
    const Point2 foot = line.from + s * (line.to - line.from);
    const Profile profile = sample_profile(view, {foot.x(), foot.y()}, {normal.x(), normal.y()}, reach + 5,
                                           0.5, std::max(2, static_cast<int>(0.02 * length)));
    if (profile.light.empty()) continue;
    for (const EdgePeak& peak : edge_peaks(profile, 8)) {
      if (std::abs(peak.offset) > reach) continue;
      const auto fitted = fit_edge(profile, peak.offset, 4, 6);
      const double at = fitted && std::abs(fitted->offset - peak.offset) < 2 ? fitted->offset : peak.offset;
      vote.edges.push_back({vote.normals, Eigen::Vector2d(1 - s, s), at, voice_of(peak.contrast), at});
    }
    ++vote.normals;
  }
  constexpr double kSnappedPx = 0.3;
  std::vector<LikelyLine> out;
  for (const LikelyCurve& curve : likely_curves(vote)) {
    if (curve.support < kLeastVote) continue;
    out.push_back(
        {{line.from + curve.x[0] * normal, line.to + curve.x[1] * normal}, curve.log_weight, kSnappedPx});
  }
  if (out.empty()) out.push_back({line, 0, placed_px * M_SQRT1_2});
  return out;
}

struct FacePair {
  LikelyLine outer, inner;
  double thickness_mm = 0, turn = 0, log_weight = 0;
};

std::optional<FacePair> pair_of(const Plane& plane, const LikelyLine& outer, const LikelyLine& inner) {
  const auto a = plane.mm_from_px(outer.line.from), b = plane.mm_from_px(outer.line.to);
  const auto c = plane.mm_from_px(inner.line.from), d = plane.mm_from_px(inner.line.to);
  if (!a || !b || !c || !d) return std::nullopt;
  const Point2 along = (*b - *a).normalized(), other = (*d - *c).normalized();
  const Point2 way = 0.5 * (*c + *d) - 0.5 * (*a + *b);
  // Square to the mean of the two directions.
  const Point2 mean = (along.dot(other) < 0 ? Point2(along - other) : Point2(along + other)).normalized();
  FacePair out{outer, inner, std::abs(mean.x() * way.y() - mean.y() * way.x()), 0, 0};
  out.turn = std::asin(std::clamp(along.x() * other.y() - along.y() * other.x(), -1.0, 1.0));
  out.log_weight = outer.log_weight + inner.log_weight - 0.5 * std::pow(out.turn / kParallel, 2);
  return out;
}

// Every likely pair of lines, likeliest first.
std::vector<FacePair> likely_pairs(const Plane& plane, const std::vector<LikelyLine>& outer,
                                   const std::vector<LikelyLine>& inner) {
  std::vector<FacePair> out;
  for (const LikelyLine& o : outer) {
    for (const LikelyLine& i : inner) {
      if (auto pair = pair_of(plane, o, i)) out.push_back(*std::move(pair));
    }
  }
  std::sort(out.begin(), out.end(),
            [](const FacePair& a, const FacePair& b) { return a.log_weight > b.log_weight; });
  return out;
}

// How far the thickness may be another: other edges that may have been meant.
double u_other_edge(const std::vector<FacePair>& pairs) {
  double weights = 0, square = 0;
  for (const FacePair& p : pairs) {
    const double weight = std::exp(p.log_weight - pairs.front().log_weight);
    weights += weight;
    square += weight * std::pow(p.thickness_mm - pairs.front().thickness_mm, 2);
  }
  return std::sqrt(square / weights);
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
  const double placed_px = placing_px(scene.request, scene.pixels.info);
  const auto lines = [&](std::size_t first) {
    const FaceLine line{point(placed[first]), point(placed[first + 1])};
    if (scene.request.snap_to_edges) return likely_lines(scene, line, placed_px);
    return std::vector<LikelyLine>{{line, 0, placed_px * M_SQRT1_2}};
  };
  const auto pairs = likely_pairs(plane, lines(0), lines(2));
  if (pairs.empty()) return refuse("too-tilted", "A face line was placed above the plane's horizon.");
  const FacePair& pair = pairs.front();
  if (!(pair.thickness_mm > 0.5) || !std::isfinite(pair.thickness_mm)) {
    return refuse("nothing-found", "The two face lines lie on one another: place one on each outer face.");
  }
  FoundFace found = face_between(scene, pair.outer.line, pair.inner.line, pair.thickness_mm);
  CutFace face;
  face.positions = boundaries_of(found.windows.front().reading);
  const double mm_per_px = plane.mm_per_px(pair.outer.line.from);
  face.u.assign(face.positions.size(),
                std::max(0.05, std::max(pair.outer.u_px, pair.inner.u_px) * mm_per_px));
  if (const double u = u_other_edge(pairs); u > 0) found.further.push_back({"another edge may be meant", u});
  // Lines that are not parallel leave open where the thickness is meant: anywhere along them.
  const double length = mm_per_px * (pair.outer.line.to - pair.outer.line.from).norm();
  found.further.push_back(
      {"face lines not parallel", std::abs(std::tan(pair.turn)) * length / std::sqrt(12.0)});
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
