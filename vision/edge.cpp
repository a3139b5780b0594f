#include "vision/edge.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/band.hpp"
#include "vision/cut_face.hpp"
#include "vision/edge_by_hand.hpp"
#include "vision/edge_profile.hpp"
#include "vision/edge_report.hpp"
#include "vision/layers.hpp"

namespace spile::vision {
namespace {

constexpr double kSearchDepth = 48,
                 kBeyondEnds = 25;     // mm round the reference in which a cut face is looked for
constexpr double kSteepest = 0.2;      // lean of the layers against the side of the reference, du / dv
constexpr double kClearlyLayers = 12;  // score below which a window shows no cut face
constexpr double kClearlyFace = 50;    // sum of the scores of at least two windows that read the same face

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
  const int first = std::max(0, static_cast<int>((v - 0.5 * kFaceWindowMm) / band.step));
  const int last = std::min(band.light.rows - 1, static_cast<int>((v + 0.5 * kFaceWindowMm) / band.step));
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

std::vector<FaceWindow> read_windows(const Band& band, const cv::Vec3f& white, const Backdrop& backdrop) {
  std::vector<FaceWindow> out;
  for (double v = 0.5 * kFaceWindowMm; v + 0.5 * kFaceWindowMm <= band.depth(); v += 0.5 * kFaceWindowMm) {
    std::optional<FaceWindow> best;
    for (const double lean : likely_leans(band, v)) {
      auto reading = read_layers(line_across(band, white, v, kFaceWindowMm, lean), band.step, backdrop);
      if (reading && (!best || reading->score > best->reading.score)) best = FaceWindow{v, lean, *reading};
    }
    if (best && best->reading.score > kClearlyLayers) out.push_back(*best);
  }
  return out;
}

bool same_face(const FaceWindow& a, const FaceWindow& b) {
  if (kinds_of(a.reading) != kinds_of(b.reading)) return false;
  const auto &s = a.reading.stretches, &t = b.reading.stretches;
  const double lean = 0.5 * (a.lean + b.lean), shift = lean * (b.v - a.v),
               room = 1.0 + 0.12 * std::abs(b.v - a.v);
  return std::abs(t.front().from - s.front().from - shift) < room &&
         std::abs(t.back().to - s.back().to - shift) < room;
}

// The windows that read the same face, those of the best group of one band.
std::vector<FaceWindow> best_group(const std::vector<FaceWindow>& windows, double& total) {
  std::vector<FaceWindow> best;
  total = 0;
  for (const FaceWindow& seed : windows) {
    std::vector<FaceWindow> group;
    double sum = 0;
    for (const FaceWindow& other : windows)
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

std::optional<FoundFace> find_face(const Scene& scene) {
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
  std::optional<FoundFace> best;
  double best_total = 0;
  for (Band& band : bands) {
    if (scene.stopped()) return std::nullopt;
    double total = 0;
    auto group = best_group(read_windows(band, white, backdrop), total);
    if (total <= best_total || total < kClearlyFace || group.size() < 2) continue;
    best_total = total;
    best = FoundFace{std::move(band), std::move(group)};
  }
  return best;
}

// ---- measuring it ---------------------------------------------------------------------------------------

// Where boundary `b` is expected at v: from the nearest windows.
double expected_at(const std::vector<FaceWindow>& windows, std::size_t b, double v) {
  double sum = 0, weights = 0;
  for (const FaceWindow& w : windows) {
    const double weight = std::exp(-0.5 * std::pow((w.v - v) / kFaceWindowMm, 2)) + 1e-6;
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

std::vector<BoundaryPoint> boundary_points(const Scene& scene, const FoundFace& found) {
  std::vector<BoundaryPoint> out;
  const auto& windows = found.windows;
  const std::size_t n = windows.front().reading.stretches.size() + 1;
  double low = 1e9, high = -1e9;
  for (const FaceWindow& w : windows) {
    low = std::min(low, w.v - 0.4 * kFaceWindowMm);
    high = std::max(high, w.v + 0.4 * kFaceWindowMm);
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
std::vector<SideStep> steps_near(const FoundFace& found, const CutFace& face, double boundary, double sign,
                                 double inside, double outside) {
  constexpr double kGrid = 0.05, kArm = 0.15;
  const double n = std::sqrt(1 + face.lean * face.lean);
  const int count = static_cast<int>((inside + outside) / kGrid) + 1;
  std::vector<cv::Vec3d> mean(static_cast<std::size_t>(count));
  std::vector<double> rows(static_cast<std::size_t>(count), 0);
  const Band& band = found.band;
  for (const FaceWindow& window : found.windows)
    for (double v = window.v - 0.5 * kFaceWindowMm; v < window.v + 0.5 * kFaceWindowMm; v += 0.25) {
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
void settle_side(const FoundFace& found, CutFace& face, bool first, const Point3& eye) {
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
