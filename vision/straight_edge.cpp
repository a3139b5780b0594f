#include "vision/straight_edge.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

struct Found {
  double along = 0, offset = 0;
  EdgePoint point;
};

// offset = line(along), by repeated reweighting with Tukey's biweight; returns the inliers' flags.
std::vector<bool> on_one_line(const std::vector<Found>& found) {
  std::vector<double> weight(found.size(), 1.0);
  Eigen::Vector2d line(0, 0);
  double scale = 0;
  std::vector<double> offsets;
  for (const Found& f : found) offsets.push_back(f.offset);
  line[0] = median(offsets);
  for (int round = 0; round < 8; ++round) {
    std::vector<double> away;
    for (const Found& f : found) away.push_back(std::abs(f.offset - line[0] - line[1] * f.along));
    scale = std::max(0.05, 1.4826 * median(away));
    Eigen::Matrix2d m = Eigen::Matrix2d::Identity() * 1e-9;
    Eigen::Vector2d v(0, 0);
    for (std::size_t i = 0; i < found.size(); ++i) {
      const double z = away[i] / (4.7 * scale);
      weight[i] = z < 1 ? (1 - z * z) * (1 - z * z) : 0;
      const Eigen::Vector2d row(1, found[i].along);
      m += weight[i] * row * row.transpose();
      v += weight[i] * found[i].offset * row;
    }
    line = m.ldlt().solve(v);
  }
  std::vector<bool> in;
  for (const Found& f : found) in.push_back(std::abs(f.offset - line[0] - line[1] * f.along) < 3 * scale);
  return in;
}

// The strongest step of the right sense within reach.
std::optional<EdgeFit> edge_near(const Profile& profile, int sign, const EdgeTrace& trace) {
  double best = 0, start = 0;
  for (const EdgePeak& peak : edge_peaks(profile, trace.contrast)) {
    if (peak.contrast * sign <= 0 || std::abs(peak.offset) > trace.reach) continue;
    if (std::abs(peak.contrast) > best) {
      best = std::abs(peak.contrast);
      start = peak.offset;
    }
  }
  if (best == 0) return std::nullopt;
  return fit_edge(profile, start, trace.window, trace.contrast);
}

}  // namespace

std::vector<EdgePoint> trace_edge(const LightView& view, const Point2& a, const Point2& b, int sign,
                                  const EdgeTrace& trace) {
  const Point2 along = (b - a).normalized();
  const Point2 normal(-along.y(), along.x());
  std::vector<Found> found;
  for (int i = 0; i < trace.count; ++i) {
    const double s = trace.trim + (1 - 2 * trace.trim) * (i + 0.5) / trace.count;
    const Point2 foot = a + s * (b - a);
    const Profile profile =
        sample_profile(view, {foot.x(), foot.y()}, {normal.x(), normal.y()}, trace.reach + trace.window);
    if (profile.light.empty()) continue;
    const auto fit = edge_near(profile, sign, trace);
    if (!fit) continue;
    EdgePoint point{foot + fit->offset * normal, sign * normal, fit->u, fit->blur, std::abs(fit->contrast())};
    found.push_back({s - 0.5, fit->offset, point});
  }
  if (static_cast<int>(found.size()) < std::max(4, trace.count / 3)) return {};
  const auto in = on_one_line(found);
  std::vector<EdgePoint> out;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (in[i]) out.push_back(found[i].point);
  }
  if (static_cast<int>(out.size()) < std::max(4, trace.count / 3)) return {};
  return out;
}

std::vector<EdgePoint> gathered(const std::vector<EdgePoint>& points, int bins, double floor_u) {
  std::vector<EdgePoint> out;
  const std::size_t n = points.size();
  for (int bin = 0; bin < bins; ++bin) {
    const std::size_t from = n * static_cast<std::size_t>(bin) / static_cast<std::size_t>(bins);
    const std::size_t to = n * static_cast<std::size_t>(bin + 1) / static_cast<std::size_t>(bins);
    if (to <= from) continue;
    const double count = static_cast<double>(to - from);
    EdgePoint sum{Point2::Zero(), points[from].normal, 0, 0, 0};
    for (std::size_t i = from; i < to; ++i) {
      sum.px += points[i].px / count;
      sum.u += points[i].u * points[i].u / (count * count);
      sum.blur += points[i].blur / count;
      sum.contrast += points[i].contrast / count;
    }
    sum.u = std::hypot(std::sqrt(sum.u), floor_u);
    out.push_back(sum);
  }
  return out;
}

}  // namespace spile::vision
