#include "vision/edge_report.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kEdgeDefinition = 0.03;  // mm, what a sawn, waxed or bevelled edge leaves undefined
constexpr double kOffPlane = 0.25;        // mm, the cut face against the reference's face

bool outermost_last(const std::vector<LayerKind>& kinds, const std::vector<double>& thickness) {
  const bool first = kinds.front() == LayerKind::Gelcoat, last = kinds.back() == LayerKind::Gelcoat;
  if (first && last) return thickness.back() > thickness.front();
  return last;
}

double u95_of(const std::vector<LengthTerm>& terms) {
  double square = 0;
  for (const LengthTerm& t : terms) square += t.u * t.u;
  return 1.96 * std::sqrt(square);
}

// What a length across the layers owes to the reference: two places of the plane a given way apart.
std::vector<LengthTerm> terms_of(const Scene& scene, const Point2& from_px, const Point2& to_px,
                                 double u_boundaries) {
  FoundReference in_plane = scene.reference;
  in_plane.height_mm = 0;
  in_plane.u_height_mm = kOffPlane;
  auto terms = reference_terms(in_plane, [&](const Plane& plane, double z) {
    const auto a = plane.mm_from_px(from_px, z), b = plane.mm_from_px(to_px, z);
    return a && b ? (*a - *b).norm() : 0;
  });
  terms.push_back({"boundaries", u_boundaries});
  terms.push_back({"edge definition", kEdgeDefinition * M_SQRT2});
  return terms;
}

double u_between(const CutFace& face, std::size_t a, std::size_t b) {
  const double along = face.u_stretch * (face.positions[b] - face.positions[a]);
  return std::sqrt(face.u[a] * face.u[a] + face.u[b] * face.u[b] + along * along);
}

}  // namespace

std::vector<LayerKind> kinds_of(const LayerReading& reading) {
  std::vector<LayerKind> out;
  for (const Stretch& s : reading.stretches) out.push_back(s.kind);
  return out;
}

std::vector<double> boundaries_of(const LayerReading& reading) {
  std::vector<double> out{reading.stretches.front().from};
  for (const Stretch& s : reading.stretches) out.push_back(s.to);
  return out;
}

Edge described(const Scene& scene, const FoundFace& found, const CutFace& face,
               const std::optional<LocalThinning>& thinning) {
  std::vector<LayerKind> kinds = kinds_of(found.windows.front().reading);
  const Plane& plane = scene.reference.plane;
  const double n = std::sqrt(1 + face.lean * face.lean);
  double low = 1e9, high = -1e9;
  for (const FaceWindow& w : found.windows) {
    low = std::min(low, w.v - 0.5 * kFaceWindowMm);
    high = std::max(high, w.v + 0.5 * kFaceWindowMm);
  }
  // (across, along) of the face to the picture.
  const auto px = [&](double t, double w) {
    const Point2 mm = found.band.mm((t + face.lean * w) / n, (w - face.lean * t) / n);
    return plane.px_from_mm({mm.x(), mm.y(), 0});
  };
  const double w_middle = 0.5 * (low + high) * n;
  Edge edge;
  std::vector<double> thickness;
  for (std::size_t b = 0; b + 1 < face.positions.size(); ++b) {
    thickness.push_back(face.positions[b + 1] - face.positions[b]);
    const auto terms = terms_of(scene, px(face.positions[b], w_middle), px(face.positions[b + 1], w_middle),
                                u_between(face, b, b + 1));
    edge.layers.push_back({layer_name(kinds[b]), thickness.back(), u95_of(terms)});
  }
  for (const double t : face.positions) {
    edge.lines.push_back(pixel(px(t, low * n)));
    edge.lines.push_back(pixel(px(t, high * n)));
  }
  edge.thickness_mm = face.positions.back() - face.positions.front();
  auto terms = terms_of(scene, px(face.positions.front(), w_middle), px(face.positions.back(), w_middle),
                        u_between(face, 0, face.u.size() - 1));
  terms.insert(terms.end(), found.further.begin(), found.further.end());
  edge.u95_mm = u95_of(terms);
  for (const LengthTerm& t : terms) edge.budget.push_back({t.term, t.u});
  std::sort(edge.budget.begin(), edge.budget.end(), [](const auto& a, const auto& b) { return a.u > b.u; });
  edge.construction =
      std::count(kinds.begin(), kinds.end(), LayerKind::Core) > 0 ? "sandwich" : "single-skin";
  if (outermost_last(kinds, thickness)) {
    std::reverse(edge.layers.begin(), edge.layers.end());
    std::reverse(edge.lines.begin(), edge.lines.end());
  }
  if (thinning) {
    const double w = thinning->along * n;
    Thinnest here{edge.thickness_mm + thinning->change, std::hypot(edge.u95_mm, 1.96 * thinning->u),
                  pixel(px(face.positions.front() + thinning->outer, w)),
                  pixel(px(face.positions.back() + thinning->inner, w))};
    if (outermost_last(kinds, thickness)) std::swap(here.outer, here.inner);
    edge.thinnest = here;
  }
  return edge;
}

}  // namespace spile::vision
