#include "vision/face_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace spile::vision {
namespace {

constexpr double kSearchDepth = 48,
                 kBeyondEnds = 25;     // mm round the reference in which a cut face is looked for
constexpr double kSteepest = 0.2;      // lean of the layers against the side of the reference, du / dv
constexpr double kClearlyLayers = 12;  // score below which a window shows no cut face
constexpr double kClearlyFace = 50;    // sum of the scores of at least two windows that read the same face

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

std::vector<FaceWindow> read_windows(const Band& band, const cv::Vec3f& white, const Backdrop& backdrop,
                                     const Point3& eye) {
  std::vector<FaceWindow> out;
  for (double v = 0.5 * kFaceWindowMm; v + 0.5 * kFaceWindowMm <= band.depth(); v += 0.5 * kFaceWindowMm) {
    std::optional<FaceWindow> best;
    for (const double lean : likely_leans(band, v)) {
      const double at = eye.x() - lean * (eye.y() - v);
      auto reading = read_layers(line_across(band, white, v, kFaceWindowMm, lean), band.step, backdrop, at);
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

// The lean of the outer faces from window to window: steadier than what each window leans by itself.
double common_lean(const std::vector<FaceWindow>& windows) {
  std::vector<double> slopes;
  for (std::size_t i = 0; i < windows.size(); ++i)
    for (std::size_t j = i + 1; j < windows.size(); ++j) {
      const auto &a = windows[i].reading.stretches, &b = windows[j].reading.stretches;
      const double dv = windows[j].v - windows[i].v;
      slopes.push_back((b.front().from - a.front().from) / dv);
      slopes.push_back((b.back().to - a.back().to) / dv);
    }
  const auto half = slopes.begin() + static_cast<long>(slopes.size() / 2);
  std::nth_element(slopes.begin(), half, slopes.end());
  return *half;
}

}  // namespace

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
    auto group = best_group(read_windows(band, white, backdrop, eye_in_band(plane, band)), total);
    if (total <= best_total || total < kClearlyFace || group.size() < 2) continue;
    best_total = total;
    best = FoundFace{std::move(band), std::move(group)};
  }
  if (!best) return best;
  const double lean = common_lean(best->windows);
  for (FaceWindow& window : best->windows) window.lean = lean;
  return best;
}

Point3 eye_in_band(const Plane& plane, const Band& band) {
  const Point3 eye = plane.camera_mm();
  const Point2 from_origin = eye.head<2>() - band.origin;
  return {from_origin.dot(band.u_axis), from_origin.dot(band.v_axis), eye.z()};
}

}  // namespace spile::vision
