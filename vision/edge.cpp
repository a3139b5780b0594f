#include "vision/edge.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "metrology/uncertainty.hpp"
#include "vision/band.hpp"
#include "vision/cut_face.hpp"
#include "vision/edge_profile.hpp"
#include "vision/layers.hpp"

namespace spile::vision {
namespace {

constexpr double kSearchDepth = 48,
                 kBeyondEnds = 25;        // mm round the reference in which a cut face is looked for
constexpr double kWindow = 6;             // mm along the layers that are read as one line
constexpr double kSteepest = 0.2;         // lean of the layers against the side of the reference, du / dv
constexpr double kClearlyLayers = 12;     // score below which a window shows no cut face
constexpr double kClearlyFace = 50;       // sum of the scores of at least two windows that read the same face
constexpr double kEdgeDefinition = 0.03;  // mm, what a sawn, waxed or bevelled edge leaves undefined
constexpr double kOffPlane = 0.25;        // mm, the cut face against the reference's face

struct Window {
  double v = 0, lean = 0;
  LayerReading reading;
};

std::vector<LayerKind> kinds_of(const LayerReading& reading) {
  std::vector<LayerKind> out;
  for (const Stretch& s : reading.stretches) out.push_back(s.kind);
  return out;
}

// ---- looking for it -------------------------------------------------------------------------------------

struct Box {
  Point2 low = Point2(1e9, 1e9), high = Point2(-1e9, -1e9);
};

Box box_of(const FoundReference& reference) {
  Box box;
  for (const PixelPoint& p : reference.outline) {
    const auto mm = reference.plane.mm_from_px(point(p));
    if (!mm) continue;
    box.low = box.low.cwiseMin(*mm);
    box.high = box.high.cwiseMax(*mm);
  }
  return box;
}

std::vector<Band> bands_beside(const Picture::Pixels& pixels, const Plane& plane, const Box& box,
                               double step) {
  const Point2 size = box.high - box.low;
  const double e = kBeyondEnds;
  const std::array<std::pair<Point2, Point2>, 4> sides{{{{box.low.x() - e, box.low.y()}, {1, 0}},
                                                        {{box.high.x() + e, box.high.y()}, {-1, 0}},
                                                        {{box.high.x(), box.low.y() - e}, {0, 1}},
                                                        {{box.low.x(), box.high.y() + e}, {0, -1}}}};
  std::vector<Band> out;
  for (const auto& [origin, u] : sides) {
    const Point2 away(u.y(), -u.x());
    const double length = 2 * e + std::abs(u.x()) * size.x() + std::abs(u.y()) * size.y();
    out.push_back(cut_band(pixels, plane, origin, u, away, length, kSearchDepth, step));
  }
  return out;
}

// The lean at which the layers in this window fall on one another: the sharpest mean line.
std::vector<double> likely_leans(const Band& band, double v) {
  std::vector<std::pair<double, double>> sharpness;
  const int first = std::max(0, static_cast<int>((v - 0.5 * kWindow) / band.step));
  const int last = std::min(band.light.rows - 1, static_cast<int>((v + 0.5 * kWindow) / band.step));
  for (double lean = -kSteepest; lean <= kSteepest + 1e-9; lean += 0.02) {
    cv::Mat sum = cv::Mat::zeros(1, band.light.cols, CV_32FC3);
    for (int y = first; y <= last; y += 2) {
      const int shift = static_cast<int>(std::lround((y - v / band.step) * lean));
      const int from = std::max(0, shift), to = std::min(band.light.cols, band.light.cols + shift);
      sum.colRange(from - shift, to - shift) += band.light.row(y).colRange(from, to);
    }
    double energy = 0;
    for (int x = 2; x + 2 < sum.cols; ++x) {
      const cv::Vec3f a = sum.at<cv::Vec3f>(x - 2), b = sum.at<cv::Vec3f>(x + 2);
      for (int c = 0; c < 3; ++c) {
        const double change =
            std::log((static_cast<double>(b[c]) + 0.05) / (static_cast<double>(a[c]) + 0.05));
        energy += change * change;
      }
    }
    sharpness.emplace_back(-energy, lean);
  }
  std::sort(sharpness.begin(), sharpness.end());
  std::vector<double> out;
  for (std::size_t i = 0; i < 3; ++i) out.push_back(sharpness[i].second);
  return out;
}

std::vector<Window> read_windows(const Band& band, const cv::Vec3f& white, const Backdrop& backdrop) {
  std::vector<Window> out;
  for (double v = 0.5 * kWindow; v + 0.5 * kWindow <= band.depth(); v += 0.5 * kWindow) {
    std::optional<Window> best;
    for (const double lean : likely_leans(band, v)) {
      auto reading = read_layers(line_across(band, white, v, kWindow, lean), band.step, backdrop);
      if (reading && (!best || reading->score > best->reading.score)) best = Window{v, lean, *reading};
    }
    if (best && best->reading.score > kClearlyLayers) out.push_back(*best);
  }
  return out;
}

bool same_face(const Window& a, const Window& b) {
  if (kinds_of(a.reading) != kinds_of(b.reading)) return false;
  const auto &s = a.reading.stretches, &t = b.reading.stretches;
  const double lean = 0.5 * (a.lean + b.lean), shift = lean * (b.v - a.v),
               room = 1.0 + 0.12 * std::abs(b.v - a.v);
  return std::abs(t.front().from - s.front().from - shift) < room &&
         std::abs(t.back().to - s.back().to - shift) < room;
}

// The windows that read the same face, those of the best group of one band.
std::vector<Window> best_group(const std::vector<Window>& windows, double& total) {
  std::vector<Window> best;
  total = 0;
  for (const Window& seed : windows) {
    std::vector<Window> group;
    double sum = 0;
    for (const Window& other : windows)
      if (same_face(seed, other)) {
        group.push_back(other);
        sum += other.reading.score;
      }
    if (sum > total) {
      total = sum;
      best = group;
    }
  }
  return best;
}

struct Found {
  Band band;
  std::vector<Window> windows;
};

std::optional<Found> find_face(const Scene& scene) {
  const Plane& plane = scene.reference.plane;
  const Box box = box_of(scene.reference);
  const double px_per_mm =
      1 / std::max(1e-6, plane.mm_per_px(plane.px_from_mm({box.low.x(), box.low.y(), 0})));
  const double step = std::clamp(1 / px_per_mm, 0.1, 0.25);
  const Point2 size = box.high - box.low;
  const Band inside = cut_band(scene.pixels, plane, box.low, {1, 0}, {0, 1}, size.x(), size.y(), 0.5);
  const cv::Vec3f white = white_of(inside);
  std::vector<Band> bands = bands_beside(scene.pixels, plane, box, step);
  std::vector<Tint> surroundings;
  for (const Band& band : bands)
    for (int y = 0; y < band.light.rows; y += 3)
      for (int x = 0; x < band.light.cols; x += 3)
        if (band.seen.at<std::uint8_t>(y, x))
          surroundings.push_back(tint_of(band.light.at<cv::Vec3f>(y, x), white));
  const Backdrop backdrop = backdrop_of(surroundings);
  std::optional<Found> best;
  double best_total = 0;
  for (Band& band : bands) {
    if (scene.stopped()) return std::nullopt;
    double total = 0;
    auto group = best_group(read_windows(band, white, backdrop), total);
    if (total <= best_total || total < kClearlyFace || group.size() < 2) continue;
    best_total = total;
    best = Found{std::move(band), std::move(group)};
  }
  return best;
}

// ---- measuring it ---------------------------------------------------------------------------------------

// The boundaries of a window, in order.
std::vector<double> boundaries_of(const LayerReading& reading) {
  std::vector<double> out{reading.stretches.front().from};
  for (const Stretch& s : reading.stretches) out.push_back(s.to);
  return out;
}

// Where boundary `b` is expected at v: from the nearest windows.
double expected_at(const std::vector<Window>& windows, std::size_t b, double v) {
  double sum = 0, weights = 0;
  for (const Window& w : windows) {
    const double weight = std::exp(-0.5 * std::pow((w.v - v) / kWindow, 2)) + 1e-6;
    sum += weight * (boundaries_of(w.reading)[b] + w.lean * (v - w.v));
    weights += weight;
  }
  return sum / weights;
}

// The boundary near (u, v), from luma at full resolution; nothing where there is no step to speak of.
std::optional<double> refine(const Scene& scene, const Band& band, double u, double v, double lean,
                             double reach) {
  const Plane& plane = scene.reference.plane;
  const auto px = [&](double du, double dv) {
    const Point2 mm = band.mm(u + du, v + dv);
    return plane.px_from_mm({mm.x(), mm.y(), 0});
  };
  const Point2 foot = px(0, 0), along = px(0.5 * lean, 0.5) - px(-0.5 * lean, -0.5);
  Point2 normal(-along.y(), along.x());
  const Point2 across = px(0.5, 0) - px(-0.5, 0);
  if (normal.dot(across) < 0) normal = -normal;
  normal.normalize();
  const double px_per_mm = across.dot(normal);
  const LightView view(scene.pixels.grey);
  const Profile profile =
      sample_profile(view, {foot.x(), foot.y()}, {normal.x(), normal.y()}, std::max(4.0, reach * px_per_mm),
                     0.5, std::max(2, static_cast<int>(0.8 * along.norm())));
  if (profile.light.empty()) return std::nullopt;
  const auto fitted = fit_edge(profile, 0, std::max(3.0, 0.8 * reach * px_per_mm), 6);
  if (!fitted) return std::nullopt;
  return u + fitted->offset / px_per_mm;
}

std::vector<BoundaryPoint> boundary_points(const Scene& scene, const Found& found) {
  std::vector<BoundaryPoint> out;
  const auto& windows = found.windows;
  const std::size_t n = windows.front().reading.stretches.size() + 1;
  double low = 1e9, high = -1e9;
  for (const Window& w : windows) {
    low = std::min(low, w.v - 0.4 * kWindow);
    high = std::max(high, w.v + 0.4 * kWindow);
  }
  for (double v = low; v <= high; v += 0.8) {
    std::vector<double> expected;
    for (std::size_t b = 0; b < n; ++b) expected.push_back(expected_at(windows, b, v));
    for (std::size_t b = 0; b < n; ++b) {
      double room = 2;
      if (b > 0) room = std::min(room, expected[b] - expected[b - 1]);
      if (b + 1 < n) room = std::min(room, expected[b + 1] - expected[b]);
      const auto at = refine(scene, found.band, expected[b], v, windows.front().lean, 0.6 * room);
      if (at) out.push_back({b, *at, v});
    }
  }
  return out;
}

// ---- the side that may be seen beyond an outer face -------------------------------------------------------

// A panel or plug has depth: where the camera looks past an outer face, the hull's own surface shows beside
// the cut, as a strip whose width is the camera's distance beyond the face times depth / (height + depth).
constexpr double kUsualSide = 0.14, kSideSpread = 0.45;     // of that ratio; the spread of its logarithm
constexpr double kNarrowestSide = 0.04, kWidestSide = 0.3;  // of that ratio
constexpr double kSideStep = 0.05, kStrongSideStep = 0.2;   // change of log light or tint that is an edge

struct SideStep {
  double out = 0;  // mm outwards of the boundary
  double height = 0;
};

// Steps of colour near an outer boundary, averaged along the whole of it.
std::vector<SideStep> steps_near(const Found& found, const CutFace& face, double boundary, double sign,
                                 double inside, double outside) {
  constexpr double kGrid = 0.05, kArm = 0.15;
  const double n = std::sqrt(1 + face.lean * face.lean);
  const int count = static_cast<int>((inside + outside) / kGrid) + 1;
  std::vector<cv::Vec3d> mean(static_cast<std::size_t>(count));
  std::vector<double> rows(static_cast<std::size_t>(count), 0);
  const Band& band = found.band;
  for (const Window& window : found.windows)
    for (double v = window.v - 0.5 * kWindow; v < window.v + 0.5 * kWindow; v += 0.25) {
      if (face.plug_radius_mm && std::abs(v - face.crest) > 4) continue;
      for (int i = 0; i < count; ++i) {
        const double t = boundary + sign * (kGrid * i - inside);
        const double u = t * n + face.lean * v;
        const int x = static_cast<int>(u / band.step), y = static_cast<int>(v / band.step);
        if (x < 0 || y < 0 || x >= band.light.cols || y >= band.light.rows) continue;
        if (!band.seen.at<std::uint8_t>(y, x)) continue;
        const auto& p = band.light.at<cv::Vec3f>(y, x);
        mean[static_cast<std::size_t>(i)] += cv::Vec3d(p[0], p[1], p[2]);
        rows[static_cast<std::size_t>(i)] += 1;
      }
    }
  const int arm = static_cast<int>(kArm / kGrid);
  std::vector<double> height(static_cast<std::size_t>(count), 0);
  for (int i = arm; i + arm < count; ++i) {
    const auto at = [&](int k) {
      const auto j = static_cast<std::size_t>(k);
      return rows[j] > 0 ? mean[j] / rows[j] : cv::Vec3d(0, 0, 0);
    };
    const cv::Vec3d a = at(i - arm), b = at(i + arm);
    double square = 0;
    for (int c = 0; c < 3; ++c) square += std::pow(std::log((b[c] + 0.01) / (a[c] + 0.01)), 2) / 3;
    height[static_cast<std::size_t>(i)] = std::sqrt(square);
  }
  std::vector<SideStep> out;
  for (std::size_t i = 1; i + 1 < height.size(); ++i)
    if (height[i] > kSideStep && height[i] >= height[i - 1] && height[i] > height[i + 1])
      out.push_back({kGrid * static_cast<double>(i) - inside, height[i]});
  return out;
}

// Moves an outer boundary from the far edge of a visible side to the near one.
void settle_side(const Found& found, CutFace& face, bool first, const Point3& eye) {
  const std::size_t b = first ? 0 : face.positions.size() - 1;
  const double sign = first ? -1 : 1;
  const double n = std::sqrt(1 + face.lean * face.lean);
  const double beyond = sign * ((eye.x() - face.lean * eye.y()) / n - face.positions[b]);
  if (beyond < 0.5) return;
  const double layer = std::abs(face.positions[b] - face.positions[first ? 1 : b - 1]);
  const double inside = std::min(layer - 0.2, kWidestSide * beyond) + 0.2,
               outside = kWidestSide * beyond + 0.4;
  std::optional<SideStep> inner;
  bool outer = false;
  for (const SideStep& step : steps_near(found, face, face.positions[b], sign, inside, outside)) {
    const double ratio = std::abs(step.out) / beyond;
    if (std::abs(step.out) < 0.2 || ratio < kNarrowestSide || ratio > kWidestSide) continue;
    if (step.out > 0 && step.height > kStrongSideStep) outer = true;
    if (step.out < 0 && step.out > -(layer - 0.25) && (!inner || step.height > inner->height)) inner = step;
  }
  if (outer) return;
  if (inner) {
    face.positions[b] += sign * inner->out;
    face.u[b] = std::hypot(face.u[b], 0.05);
  } else if (kUsualSide * beyond < 0.45) {
    face.positions[b] -= sign * kUsualSide * beyond;
    face.u[b] = std::hypot(face.u[b], kSideSpread * kUsualSide * beyond);
  } else {
    face.u[b] = std::hypot(face.u[b], 0.1);
  }
}

// ---- the answer -----------------------------------------------------------------------------------------

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

Edge described(const Scene& scene, const Found& found, const CutFace& face) {
  std::vector<LayerKind> kinds = kinds_of(found.windows.front().reading);
  const Plane& plane = scene.reference.plane;
  const double n = std::sqrt(1 + face.lean * face.lean);
  double low = 1e9, high = -1e9;
  for (const Window& w : found.windows) {
    low = std::min(low, w.v - 0.5 * kWindow);
    high = std::max(high, w.v + 0.5 * kWindow);
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
                                std::hypot(face.u[b], face.u[b + 1]));
    edge.layers.push_back({layer_name(kinds[b]), thickness.back(), u95_of(terms)});
  }
  for (const double t : face.positions) {
    edge.lines.push_back(pixel(px(t, low * n)));
    edge.lines.push_back(pixel(px(t, high * n)));
  }
  edge.thickness_mm = face.positions.back() - face.positions.front();
  const auto terms = terms_of(scene, px(face.positions.front(), w_middle),
                              px(face.positions.back(), w_middle), std::hypot(face.u.front(), face.u.back()));
  edge.u95_mm = u95_of(terms);
  for (const LengthTerm& t : terms) edge.budget.push_back({t.term, t.u});
  std::sort(edge.budget.begin(), edge.budget.end(), [](const auto& a, const auto& b) { return a.u > b.u; });
  edge.construction =
      std::count(kinds.begin(), kinds.end(), LayerKind::Core) > 0 ? "sandwich" : "single-skin";
  if (outermost_last(kinds, thickness)) {
    std::reverse(edge.layers.begin(), edge.layers.end());
    std::reverse(edge.lines.begin(), edge.lines.end());
  }
  return edge;
}

// ---- by hand --------------------------------------------------------------------------------------------

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

Found face_between(const Scene& scene, const FaceLine& outer, const FaceLine& inner, double thickness) {
  const Plane& plane = scene.reference.plane;
  const Point2 a = *plane.mm_from_px(outer.from), b = *plane.mm_from_px(outer.to);
  const Point2 along = (b - a).normalized();
  Point2 across(-along.y(), along.x());
  const Point2 middle = 0.5 * (*plane.mm_from_px(inner.from) + *plane.mm_from_px(inner.to));
  if (across.dot(middle - a) < 0) across = -across;
  Found found;
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
  Window window{0.5 * found.band.depth(), 0, {}};
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
  const Found found = face_between(scene, outer, inner, thickness);
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

Expected<Edge> edge_by_itself(const Scene& scene) {
  const auto nothing = [] {
    return refuse(
        "nothing-found",
        "No cut edge of a laminate was found beside the reference. Lay the cut-out on its side, or the "
        "panel with its cut face up, close to the reference and level with it, or mark its two outer "
        "faces by hand.");
  };
  const auto found = find_face(scene);
  if (scene.stopped()) return refuse("cancelled", "Stopped before it was finished.");
  if (!found) return nothing();
  const Point3 eye = scene.reference.plane.camera_mm();
  const Point2 from_origin = eye.head<2>() - found->band.origin;
  const Point3 eye_in_band(from_origin.dot(found->band.u_axis), from_origin.dot(found->band.v_axis), eye.z());
  auto face = fit_cut_face(boundary_points(scene, *found),
                           found->windows.front().reading.stretches.size() + 1, eye_in_band);
  if (!face) return nothing();
  for (const bool first : {true, false}) settle_side(*found, *face, first, eye_in_band);
  return described(scene, *found, *face);
}

}  // namespace

Expected<Edge> measure_edge(const Scene& scene) {
  return scene.request.edge_by_hand.size() == 4 ? edge_by_hand(scene) : edge_by_itself(scene);
}

}  // namespace spile::vision
