#include "vision/face_points.hpp"

#include <algorithm>
#include <cmath>

#include "vision/coat_edges.hpp"
#include "vision/edge_profile.hpp"

namespace spile::vision {
namespace {

constexpr double kAlong = 0.8;      // mm from one place to the next
constexpr double kLeastStep = 6;    // coded values
constexpr double kWidestCoat = 14;  // px; a wider one has two edges of its own
constexpr std::size_t kFewestCoatPoints = 16;
constexpr double kUsualBlur = 1.2;  // px, where nothing tells it

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

// The line across the face at (u, v), square to the layers in the picture.
struct Across {
  Point2 foot = Point2::Zero(), normal = Point2::Zero();  // px
  double px_per_mm = 1;                                   // of u, along the normal
  int rows = 2;                                           // px along the layers that are averaged
};

Across across_at(const Plane& plane, const Band& band, double u, double v, double lean) {
  const auto px = [&](double du, double dv) {
    const Point2 mm = band.mm(u + du, v + dv);
    return plane.px_from_mm({mm.x(), mm.y(), 0});
  };
  const Point2 along = px(0.5 * lean, 0.5) - px(-0.5 * lean, -0.5), across = px(0.5, 0) - px(-0.5, 0);
  Across out;
  out.foot = px(0, 0);
  out.normal = Point2(-along.y(), along.x()).normalized();
  if (out.normal.dot(across) < 0) out.normal = -out.normal;
  out.px_per_mm = across.dot(out.normal);
  out.rows = std::max(2, static_cast<int>(kAlong * along.norm()));
  return out;
}

Profile profile_of(const LightView& view, const Across& line, double half_px) {
  return sample_profile(view, {line.foot.x(), line.foot.y()}, {line.normal.x(), line.normal.y()}, half_px,
                        0.5, line.rows);
}

class Refiner {
 public:
  Refiner(const Scene& scene, const FoundFace& found)
      : scene_(scene),
        found_(found),
        view_(scene.pixels.grey),
        kinds_(kinds_of(found.windows.front().reading)) {}

  std::vector<BoundaryPoint> all() {
    double low = 1e9, high = -1e9;
    for (const FaceWindow& w : found_.windows) {
      low = std::min(low, w.v - 0.4 * kFaceWindowMm);
      high = std::max(high, w.v + 0.4 * kFaceWindowMm);
    }
    std::vector<BoundaryPoint> plain;
    for (double v = low; v <= high; v += kAlong) add_plain(plain, v);
    const double blur = lens_blur();
    std::vector<BoundaryPoint> out;
    for (const std::size_t layer : {std::size_t{0}, kinds_.size() - 1}) {
      if (kinds_[layer] != LayerKind::Gelcoat) continue;
      std::vector<BoundaryPoint> coat;
      for (double v = low; v <= high; v += kAlong) add_coat(coat, v, layer, blur);
      if (coat.size() < kFewestCoatPoints) continue;
      std::erase_if(plain, [&](const auto& p) { return p.boundary == layer || p.boundary == layer + 1; });
      out.insert(out.end(), coat.begin(), coat.end());
    }
    out.insert(out.end(), plain.begin(), plain.end());
    return out;
  }

 private:
  [[nodiscard]] std::vector<double> expected(double v) const {
    std::vector<double> out;
    for (std::size_t b = 0; b <= kinds_.size(); ++b) out.push_back(expected_at(found_.windows, b, v));
    return out;
  }

  // Every boundary by itself.
  void add_plain(std::vector<BoundaryPoint>& out, double v) {
    const auto at = expected(v);
    for (std::size_t b = 0; b < at.size(); ++b) {
      double room = 2;
      if (b > 0) room = std::min(room, at[b] - at[b - 1]);
      if (b + 1 < at.size()) room = std::min(room, at[b + 1] - at[b]);
      const double reach = 0.6 * room;
      const Across line =
          across_at(scene_.reference.plane, found_.band, at[b], v, found_.windows.front().lean);
      const Profile profile = profile_of(view_, line, std::max(4.0, reach * line.px_per_mm));
      if (profile.light.empty()) continue;
      const auto fitted = fit_edge(profile, 0, std::max(3.0, 0.8 * reach * line.px_per_mm), kLeastStep);
      if (!fitted) continue;
      out.push_back({b, at[b] + fitted->offset / line.px_per_mm, v});
      if (std::abs(fitted->contrast()) > 25) blurs_.push_back(fitted->blur);
    }
  }

  // Both edges of the coat that is layer `layer`, the first or the last.
  void add_coat(std::vector<BoundaryPoint>& out, double v, std::size_t layer, double blur) {
    const auto at = expected(v);
    const double middle = 0.5 * (at[layer] + at[layer + 1]);
    const Across line =
        across_at(scene_.reference.plane, found_.band, middle, v, found_.windows.front().lean);
    const double half = 0.5 * (at[layer + 1] - at[layer]) * line.px_per_mm;
    if (2 * half > kWidestCoat) return;
    // The profile runs inwards from outside, whichever end it is.
    const bool first = layer == 0;
    const Across inwards{line.foot, first ? line.normal : Point2(-line.normal), line.px_per_mm, line.rows};
    const Profile profile = profile_of(view_, inwards, half + 4 * blur + 1);
    if (profile.light.empty()) return;
    const auto coat = fit_coat_edges(profile, -half, half, blur);
    if (!coat) return;
    const double sign = first ? 1 : -1;
    const auto place = [&](double t) { return middle + sign * t / line.px_per_mm; };
    out.push_back({first ? layer : layer + 1, place(coat->outer), v, coat->u_outer / line.px_per_mm});
    out.push_back({first ? layer + 1 : layer, place(coat->inner), v, coat->u_inner / line.px_per_mm});
  }

  // Of the reference's edges, else of the sharper ones of the boundaries: wavy ones look softer.
  double lens_blur() {
    if (scene_.reference.blur_px > 0) return scene_.reference.blur_px;
    if (blurs_.size() < 8) return kUsualBlur;
    const auto quarter = blurs_.begin() + static_cast<long>(blurs_.size() / 4);
    std::nth_element(blurs_.begin(), quarter, blurs_.end());
    return std::clamp(*quarter, 0.6, 4.0);
  }

  const Scene& scene_;
  const FoundFace& found_;
  LightView view_;
  std::vector<LayerKind> kinds_;
  std::vector<double> blurs_;
};

}  // namespace

std::vector<BoundaryPoint> boundary_points(const Scene& scene, const FoundFace& found) {
  return Refiner(scene, found).all();
}

}  // namespace spile::vision
