#include "vision/circles_about.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

namespace spile::vision {
namespace {

constexpr std::size_t kDirections = 96;
constexpr double kInmost = 0.55, kOutmost = 1.8;   // of the radius: where edges are looked for
constexpr double kSmallest = 0.6, kLargest = 1.6;  // of the radius: circles
constexpr double kBin = 0.02;                      // of the radius
constexpr double kGrid = 2 * kBin;                 // between centres
constexpr int kAside = 7, kAway = 17;              // centres tried to either side, and from the camera's foot
constexpr std::size_t kBins = 51;
constexpr double kFull = 40;  // coded values: an edge as loud as that has its full voice
constexpr double kLeastSupport = 0.5;
constexpr std::size_t kTried = 40, kMost = 8;

struct Step {
  std::size_t direction = 0;
  Point2 at = Point2::Zero();  // from the middle, in radii
  double voice = 0;
};

ColourProfile colours_along(const RimPlace& place, const RimPlace::Foot& foot, double radius_px) {
  for (const double outmost : {kOutmost, 1.35, 1.12}) {
    const double from = (kInmost - 1) * radius_px, to = (outmost - 1) * radius_px;
    auto colours = sample_colours(place.view, {foot.px.x(), foot.px.y()}, {foot.normal.x(), foot.normal.y()},
                                  from, to, std::max(0.5, (kOutmost - kInmost) * radius_px / 250), 2);
    if (!colours.light.empty()) return colours;
  }
  return {};
}

std::vector<Step> steps_about(const RimPlace& place, const Circle& about) {
  std::vector<Step> out;
  for (std::size_t k = 0; k < kDirections; ++k) {
    const double angle = 2 * M_PI * static_cast<double>(k) / kDirections;
    const auto foot = place.foot(about.centre, about.radius, angle);
    const auto colours = colours_along(place, foot, about.radius / foot.mm_per_px);
    if (colours.coded.size() < 5) continue;
    for (const auto& [t, contrast] : steps_of(colours)) {
      const auto mm = place.plane.mm_from_px(foot.px + t * foot.normal, place.z);
      if (mm) out.push_back({k, (*mm - about.centre) / about.radius, std::min(1.0, contrast / kFull)});
    }
  }
  return out;
}

struct Voted {
  Circle circle;  // about the middle, in radii
  double votes = 0;
};

// Votes for circles about one centre; sums over three bins, so that a small slip of the centre costs little.
void take_votes(const std::vector<Step>& steps, const Point2& centre, std::vector<Voted>& out) {
  std::array<double, kBins> bins{};
  for (const Step& s : steps) {
    const double place = ((s.at - centre).norm() - kSmallest) / kBin;
    if (!(place >= 0) || place >= kBins - 1) continue;
    const auto bin = static_cast<std::size_t>(place);
    const double share = place - static_cast<double>(bin);
    bins[bin] += (1 - share) * s.voice;
    bins[bin + 1] += share * s.voice;
  }
  std::array<double, kBins> soft{};
  for (std::size_t b = 1; b + 1 < kBins; ++b) soft[b] = bins[b] + 0.7 * (bins[b - 1] + bins[b + 1]);
  for (std::size_t b = 1; b + 1 < kBins; ++b) {
    if (soft[b] > 0.2 * kDirections && soft[b] >= soft[b - 1] && soft[b] > soft[b + 1])
      out.push_back({{centre, kSmallest + kBin * static_cast<double>(b)}, soft[b]});
  }
}

// A near rim's centre lies further from the camera's foot than what is seen through it.
std::vector<Voted> voted(const std::vector<Step>& steps, const Point2& away) {
  std::vector<Voted> all, out;
  const Point2 aside(-away.y(), away.x());
  for (int i = -kAside; i <= kAway; ++i) {
    for (int j = -kAside; j <= kAside; ++j) take_votes(steps, kGrid * (i * away + j * aside), all);
  }
  std::sort(all.begin(), all.end(), [](const Voted& a, const Voted& b) { return a.votes > b.votes; });
  for (const Voted& v : all) {
    const bool known = std::any_of(out.begin(), out.end(), [&](const Voted& o) {
      return (o.circle.centre - v.circle.centre).norm() < 1.5 * kGrid &&
             std::abs(o.circle.radius - v.circle.radius) < 1.6 * kBin;
    });
    if (!known) out.push_back(v);
    if (out.size() == kTried) break;
  }
  return out;
}

// For each direction the step nearest to the circle, with how far off it is.
struct Nearest {
  const Step* step = nullptr;
  double miss = 1e9;
};

std::array<Nearest, kDirections> nearest_to(const Circle& circle, const std::vector<Step>& steps) {
  std::array<Nearest, kDirections> out{};
  for (const Step& s : steps) {
    const double miss = (s.at - circle.centre).norm() - circle.radius;
    Nearest& best = out[s.direction];
    if (std::abs(miss) < std::abs(best.miss)) best = {&s, miss};
  }
  return out;
}

Circle improved(const Circle& circle, const std::vector<Step>& steps, double tolerance) {
  Eigen::Matrix3d m = 1e-9 * Eigen::Matrix3d::Identity();
  Eigen::Vector3d v = Eigen::Vector3d::Zero();
  for (const Nearest& n : nearest_to(circle, steps)) {
    if (!n.step || std::abs(n.miss) > tolerance) continue;
    const double z = n.miss / tolerance, weight = (1 - z * z) * (1 - z * z) * n.step->voice;
    const Point2 way = (n.step->at - circle.centre).normalized();
    const Eigen::Vector3d row(way.x(), way.y(), 1);
    m += weight * row * row.transpose();
    v += weight * n.miss * row;
  }
  const Eigen::Vector3d change = m.ldlt().solve(v);
  return {circle.centre + change.head<2>(), circle.radius + change[2]};
}

double support_of(const Circle& circle, const std::vector<Step>& steps, double tolerance) {
  double on = 0;
  for (const Nearest& n : nearest_to(circle, steps)) on += std::abs(n.miss) < tolerance ? 1 : 0;
  return on / kDirections;
}

}  // namespace

std::vector<CircleAbout> circles_about(const RimPlace& place, const Circle& about) {
  const auto steps = steps_about(place, about);
  const double px = place.foot(about.centre, about.radius, 0).mm_per_px / about.radius;
  const double fine = std::max(0.015, 1.2 * px);
  const Point2 from_foot = about.centre - place.plane.camera_mm().head<2>();
  const Point2 away = from_foot.norm() > 0 ? Point2(from_foot.normalized()) : Point2(1, 0);
  std::vector<CircleAbout> out;
  for (const Voted& v : voted(steps, away)) {
    Circle circle = v.circle;
    for (const double tolerance : {0.05, 0.035, 0.025}) circle = improved(circle, steps, tolerance);
    for (const double tolerance : {1.5 * fine, fine, std::max(0.01, 2 * px), std::max(0.01, 2 * px)})
      circle = improved(circle, steps, tolerance);
    if (!(circle.radius > kSmallest) || circle.radius > kLargest || circle.centre.norm() > 0.8) continue;
    const double support = support_of(circle, steps, fine);
    const bool known = std::any_of(out.begin(), out.end(), [&](const CircleAbout& o) {
      return (o.circle.centre - circle.centre).norm() < 0.7 * fine &&
             std::abs(o.circle.radius - circle.radius) < 0.7 * fine;
    });
    if (support >= kLeastSupport && !known) out.push_back({circle, support});
  }
  std::sort(out.begin(), out.end(),
            [](const CircleAbout& a, const CircleAbout& b) { return a.support > b.support; });
  if (out.size() > kMost) out.resize(kMost);
  for (CircleAbout& c : out) {
    c.circle.centre = about.centre + about.radius * c.circle.centre;
    c.circle.radius *= about.radius;
  }
  return out;
}

}  // namespace spile::vision
