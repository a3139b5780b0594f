#include "vision/face_sides.hpp"

#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

// A panel or plug has depth: where the camera looks past an outer face, the hull's own surface shows beside
// the cut, as a strip whose width is the camera's distance beyond the face times depth / (height + depth).
constexpr double kUsualSide = 0.14, kSideSpread = 0.45;     // of that ratio; the spread of its logarithm
constexpr double kNarrowestSide = 0.04, kWidestSide = 0.3;  // of that ratio
constexpr double kSideStep = 0.05, kStrongSideStep = 0.2;   // change of log light or tint that is an edge
constexpr double kOtherShade = 0.12;         // mean change of the same between a side and the layer beside it
constexpr double kGrid = 0.05, kArm = 0.15;  // mm
constexpr double kSoftStep = 0.09;           // mm, where the step from the face to its side is
constexpr double kWidest = 1.5;              // mm; a wider side is made out where the layers are read
constexpr double kNearest = 0.2;             // mm, steps nearer than this are the boundary's own

// Light across an outer boundary, averaged along the whole of it; `out` counts outwards from the boundary.
class SideProfile {
 public:
  SideProfile(const FoundFace& found, const CutFace& face, double boundary, double sign, double inside,
              double outside)
      : inside_(inside),
        mean_(static_cast<std::size_t>((inside + outside) / kGrid) + 1),
        rows_(mean_.size(), 0) {
    const double n = std::sqrt(1 + face.lean * face.lean);
    for (const FaceWindow& window : found.windows)
      for (double v = window.v - 0.5 * kFaceWindowMm; v < window.v + 0.5 * kFaceWindowMm; v += 0.25) {
        if (face.plug_radius_mm && std::abs(v - face.crest) > 4) continue;
        for (std::size_t i = 0; i < mean_.size(); ++i)
          add(found.band, i, (boundary + sign * out(i)) * n + face.lean * v, v);
      }
  }

  struct Step {
    double out = 0;  // mm
    double height = 0;
  };
  [[nodiscard]] std::vector<Step> steps() const {
    const auto arm = static_cast<std::size_t>(std::lround(kArm / kGrid));
    std::vector<double> height(mean_.size(), 0);
    for (std::size_t i = arm; i + arm < mean_.size(); ++i) height[i] = apart(at(i - arm), at(i + arm));
    std::vector<Step> found;
    for (std::size_t i = 1; i + 1 < height.size(); ++i)
      if (height[i] > kSideStep && height[i] >= height[i - 1] && height[i] > height[i + 1])
        found.push_back({out(i), height[i]});
    return found;
  }

  // How much the strip between that step and the boundary differs from as much of the layer inside it.
  [[nodiscard]] double other_shade(const Step& step) const {
    const double width = -step.out;
    return apart(level(step.out - width, step.out - kArm), level(step.out + kArm, -kArm));
  }

 private:
  [[nodiscard]] double out(std::size_t i) const { return kGrid * static_cast<double>(i) - inside_; }
  [[nodiscard]] cv::Vec3d at(std::size_t i) const {
    return rows_[i] > 0 ? mean_[i] / rows_[i] : cv::Vec3d(0, 0, 0);
  }

  void add(const Band& band, std::size_t i, double u, double v) {
    const int x = static_cast<int>(u / band.step), y = static_cast<int>(v / band.step);
    if (x < 0 || y < 0 || x >= band.light.cols || y >= band.light.rows) return;
    if (!band.seen.at<std::uint8_t>(y, x)) return;
    const auto& p = band.light.at<cv::Vec3f>(y, x);
    mean_[i] += cv::Vec3d(p[0], p[1], p[2]);
    rows_[i] += 1;
  }

  [[nodiscard]] cv::Vec3d level(double from, double to) const {
    cv::Vec3d sum(0, 0, 0);
    double count = 0;
    for (std::size_t i = 0; i < mean_.size(); ++i)
      if ((out(i) >= from && out(i) <= to) || (from >= to && std::abs(out(i) - 0.5 * (from + to)) < kGrid)) {
        sum += at(i);
        count += 1;
      }
    return count > 0 ? sum / count : sum;
  }

  // Root mean square of the logarithm of the three colours' ratio.
  [[nodiscard]] static double apart(const cv::Vec3d& a, const cv::Vec3d& b) {
    double square = 0;
    for (int c = 0; c < 3; ++c) square += std::pow(std::log((b[c] + 0.01) / (a[c] + 0.01)), 2) / 3;
    return std::sqrt(square);
  }

  double inside_;
  std::vector<cv::Vec3d> mean_;
  std::vector<double> rows_;
};

// What is left of a layer when a side is taken off it, at least.
double thinnest(LayerKind kind) {
  return kind == LayerKind::Gelcoat ? 0.25 : 1.2;
}

bool side_made_out(const FoundFace& found, bool first) {
  std::size_t seen = 0;
  for (const FaceWindow& w : found.windows)
    seen += (first ? w.reading.side_before : w.reading.side_after) ? 1 : 0;
  return 2 * seen >= found.windows.size();
}

}  // namespace

void settle_side(const FoundFace& found, CutFace& face, bool first, const Point3& eye) {
  const std::size_t b = first ? 0 : face.positions.size() - 1;
  const double sign = first ? -1 : 1;
  const double n = std::sqrt(1 + face.lean * face.lean);
  const double beyond = sign * ((eye.x() - face.lean * eye.y()) / n - face.positions[b]);
  if (beyond < 0.5 || side_made_out(found, first)) return;
  const double layer = std::abs(face.positions[b] - face.positions[first ? 1 : b - 1]);
  const auto kinds = kinds_of(found.windows.front().reading);
  const double most = layer - thinnest(first ? kinds.front() : kinds.back());
  const double reach = kWidestSide * beyond;
  const SideProfile profile(found, face, face.positions[b], sign, std::min(layer, 2 * reach) + 0.2,
                            reach + 0.4);
  std::optional<SideProfile::Step> inner;
  for (const SideProfile::Step& step : profile.steps()) {
    const double ratio = std::abs(step.out) / beyond;
    if (std::abs(step.out) < kNearest || ratio < kNarrowestSide || ratio > kWidestSide) continue;
    if (step.out > 0 && step.height > kStrongSideStep)
      return;  // the side shows beyond: this is the face's edge
    if (step.out > 0 || step.out < -std::min(most, kWidest) || profile.other_shade(step) < kOtherShade)
      continue;
    if (!inner || step.height > inner->height) inner = step;
  }
  if (inner) {
    face.positions[b] += sign * inner->out;
    face.u[b] = std::hypot(face.u[b], kSoftStep);
  } else if (kUsualSide * beyond < 0.45) {
    face.positions[b] -= sign * kUsualSide * beyond;
    face.u[b] = std::hypot(face.u[b], kSideSpread * kUsualSide * beyond);
  } else {
    face.u[b] = std::hypot(face.u[b], 0.1);
  }
}

}  // namespace spile::vision
