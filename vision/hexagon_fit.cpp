#include "vision/hexagon_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

constexpr int kDirections = 120;
constexpr double kInner = 0.8, kOuter = 2.4;    // of the circle's radius, where sides are looked for
constexpr double kSmallest = 9, kLargest = 60;  // mm, half across flats
constexpr double kCornerLeftOut = 0.1;          // rad to either side: corners are rounded
constexpr double kLeastSupport = 0.62, kLeastSide = 0.5;
constexpr int kFewestSides = 5;
constexpr double kOverCircle = 0.05;  // how much more support than a circle has among the same edges
constexpr double kRoughly = 0.045;    // of the apothem: how far off its middle the round thing may lie
constexpr double kCorrelated = 4;
constexpr double kLowestNut = 3, kHighestNut = 25, kClearOfFacePx = 2.5, kOnFootPx = 1.3, kLeastFoot = 0.6;
constexpr int kFewestFoot = 10, kAlongSide = 15;
constexpr std::size_t kFineAlongSide = 25;

struct Place {
  Point2 mm = Point2::Zero();
  double angle = 0;
};

// Of one direction: the places of its edges.
using Places = std::vector<std::vector<Place>>;

Places places_about(const RimPlace& place, const Circle& within) {
  const double middle = 0.5 * (kInner + kOuter) * within.radius, half = middle - kInner * within.radius;
  const double px = place.foot(within.centre, middle, 0).mm_per_px;
  Places out;
  const double step = std::max(0.5, half / px / 60);
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 2 * M_PI * k / kDirections;
    const auto foot = place.foot(within.centre, middle, angle);
    const auto colours = sample_colours(place.view, {foot.px.x(), foot.px.y()},
                                        {foot.normal.x(), foot.normal.y()}, -half / px, half / px, step, 2);
    std::vector<Place>& here = out.emplace_back();
    if (colours.light.empty()) continue;
    for (const auto& [t, contrast] : steps_of(colours)) {
      const auto mm = place.plane.mm_from_px(foot.px + t * foot.normal, place.z);
      if (mm) here.push_back({*mm, angle});
    }
  }
  return out;
}

int side_of(const HexagonFit& fit, const Point2& mm) {
  const Point2 d = mm - fit.centre;
  const double turn = std::atan2(d.y(), d.x()) - fit.turn;
  return static_cast<int>(std::lround(turn / (M_PI / 3)) + 12) % 6;
}

double off_side(const HexagonFit& fit, const Point2& mm) {
  return (mm - fit.centre).dot(fit.normal(side_of(fit, mm))) - fit.apothem;
}

bool at_corner(const HexagonFit& fit, double angle) {
  const double turn = std::remainder(angle - fit.turn, M_PI / 3);
  return std::abs(turn) > M_PI / 6 - kCornerLeftOut;
}

// For each direction away from the corners the place nearest to the hexagon, if it is near.
struct OnSides {
  std::vector<Point2> places;
  std::array<int, 6> met{}, looked{};
  [[nodiscard]] double support() const {
    double all = 0;
    for (const int n : looked) all += n;
    return all > 0 ? static_cast<double>(places.size()) / all : 0;
  }
  [[nodiscard]] int sides() const {
    int out = 0;
    for (std::size_t k = 0; k < 6; ++k) out += met[k] >= kLeastSide * looked[k] && looked[k] > 0 ? 1 : 0;
    return out;
  }
};

OnSides on_sides(const Places& all, const HexagonFit& fit, double tolerance) {
  OnSides out;
  for (std::size_t k = 0; k < all.size(); ++k) {
    const double angle = 2 * M_PI * static_cast<double>(k) / static_cast<double>(all.size());
    if (at_corner(fit, angle)) continue;
    const Point2 way(std::cos(angle), std::sin(angle));
    const auto side = static_cast<std::size_t>(side_of(fit, fit.centre + way));
    ++out.looked[side];
    const Place* nearest = nullptr;
    for (const Place& p : all[k])
      if (!nearest || std::abs(off_side(fit, p.mm)) < std::abs(off_side(fit, nearest->mm))) nearest = &p;
    if (!nearest || std::abs(off_side(fit, nearest->mm)) > tolerance) continue;
    ++out.met[side];
    out.places.push_back(nearest->mm);
  }
  return out;
}

double circle_support(const Places& all, const Point2& centre, double from, double to, double tolerance) {
  double best = 0;
  for (double radius = from; radius < to; radius += tolerance) {
    double met = 0;
    for (const auto& here : all)
      met +=
          std::any_of(here.begin(), here.end(),
                      [&](const Place& p) { return std::abs((p.mm - centre).norm() - radius) < tolerance; })
              ? 1
              : 0;
    best = std::max(best, met / static_cast<double>(all.size()));
  }
  return best;
}

// One round of least squares: centre, apothem, turn.
void improve(const std::vector<Point2>& places, HexagonFit& fit) {
  Eigen::Matrix4d m = 1e-9 * Eigen::Matrix4d::Identity();
  Eigen::Vector4d v = Eigen::Vector4d::Zero();
  for (const Point2& p : places) {
    const Point2 n = fit.normal(side_of(fit, p)), d = p - fit.centre;
    const Eigen::Vector4d row(n.x(), n.y(), 1, -d.dot(Point2(-n.y(), n.x())));
    m += row * row.transpose();
    v += off_side(fit, p) * row;
  }
  const Eigen::Vector4d x = m.ldlt().solve(v);
  fit.centre += x.head<2>();
  fit.apothem += x[2];
  fit.turn += x[3];
}

// Sub-pixel places along all six sides, away from the corners.
std::vector<Point2> fine_places(const RimPlace& place, const HexagonFit& fit, double reach_px) {
  std::vector<Point2> out;
  for (int side = 0; side < 6; ++side) {
    const Point2 n = fit.normal(side), along(-n.y(), n.x());
    for (std::size_t i = 0; i < kFineAlongSide; ++i) {
      const double at =
          (static_cast<double>(i) / static_cast<double>(kFineAlongSide - 1) - 0.5) * 0.8 * fit.apothem;
      const Point2 mm = fit.middle_of(side) + at * along;
      RimPlace::Foot foot;
      foot.px = place.plane.px_from_mm(lift(mm, place.z));
      const Point2 outwards = place.plane.px_from_mm(lift(mm + n, place.z)) - foot.px;
      foot.mm_per_px = 1 / outwards.norm();
      foot.normal = outwards.normalized();
      const auto edge = nearest_edge(place, foot, reach_px);
      const auto met =
          edge ? place.plane.mm_from_px(foot.px + edge->offset * foot.normal, place.z) : std::nullopt;
      if (met) out.push_back(*met);
    }
  }
  return out;
}

HexagonFit roughly(const Places& all, const Circle& within) {
  HexagonFit best;
  double most = 0;
  for (double apothem = kInner * within.radius; apothem < 0.9 * kOuter * within.radius; apothem *= 1.02) {
    for (int turn = 0; turn < 60; turn += 3) {
      HexagonFit fit;
      fit.centre = within.centre;
      fit.apothem = apothem;
      fit.turn = turn * M_PI / 180;
      const double now = on_sides(all, fit, kRoughly * apothem).support() * std::sqrt(apothem);
      if (now <= most) continue;
      most = now;
      best = fit;
    }
  }
  return best;
}

}  // namespace

std::optional<HexagonFit> hexagon_about(const RimPlace& place, const Circle& within) {
  const Places all = places_about(place, within);
  HexagonFit fit = roughly(all, within);
  if (fit.apothem < kSmallest || fit.apothem > kLargest) return std::nullopt;
  fit.mm_per_px = place.foot(fit.centre, fit.apothem, 0).mm_per_px;
  const double least = std::max(0.25, 1.3 * fit.mm_per_px);
  for (const double loose : {kRoughly, kRoughly, 0.035, 0.025, 0.015, 0.01, 0.0, 0.0}) {
    const auto on = on_sides(all, fit, std::max(least, loose * fit.apothem));
    if (on.places.size() < kDirections / 3) return std::nullopt;
    improve(on.places, fit);
  }
  const auto on = on_sides(all, fit, least);
  fit.support = on.support();
  if (fit.support < kLeastSupport || on.sides() < kFewestSides) return std::nullopt;
  if (fit.support < kOverCircle + circle_support(all, fit.centre, fit.apothem, 1.16 * fit.apothem, least))
    return std::nullopt;
  std::vector<Point2> fine;
  for (const double reach_px : {4.0, 2.5, 2.5}) {
    fine = fine_places(place, fit, reach_px);
    if (fine.size() < 3 * kFineAlongSide) return std::nullopt;
    improve(fine, fit);
  }
  std::vector<double> off;
  for (const Point2& p : fine) off.push_back(std::abs(off_side(fit, p)));
  fit.u_apothem = 1.4826 * median(off) * std::sqrt(kCorrelated / static_cast<double>(fine.size()));
  return fit;
}

std::optional<double> foot_of(const RimPlace& hull, const HexagonFit& face, double fitted_height) {
  const double eye = hull.plane.camera_mm().z() - hull.z;
  const Point2 below = hull.plane.camera_mm().head<2>();
  const double grow = eye / (eye - fitted_height);
  HexagonFit shadow = face;
  shadow.centre = below + grow * (face.centre - below);
  shadow.apothem *= grow;
  // How far beyond the face's side its foot shows, mm on the hull.
  const auto beyond = [&](int side, double height) {
    const double shrink = (eye - height) / eye;
    const Point2 moved = (1 - shrink) * (below - shadow.centre);
    return moved.dot(shadow.normal(side)) - (1 - shrink) * shadow.apothem;
  };
  struct Line {
    int side = 0;
    double mm_per_px = 1;
    std::vector<EdgePeak> peaks;
  };
  std::vector<Line> lines;
  for (int side = 0; side < 6; ++side) {
    const double reach = beyond(side, kHighestNut);
    if (reach <= 0) continue;
    const Point2 n = shadow.normal(side), along(-n.y(), n.x());
    for (int i = 0; i < kAlongSide; ++i) {
      const double at = (static_cast<double>(i) / (kAlongSide - 1) - 0.5) * 0.8 * shadow.apothem;
      const Point2 from = shadow.middle_of(side) + at * along;
      const Point2 px = hull.plane.px_from_mm(lift(from, hull.z));
      const Point2 out = hull.plane.px_from_mm(lift(from + n, hull.z)) - px;
      const double half = 0.5 * reach * out.norm() + 4;
      const Point2 middle = px + (half - 4) * out.normalized();
      const auto colours = sample_colours(hull.view, {middle.x(), middle.y()},
                                          {out.normalized().x(), out.normalized().y()}, -half, half);
      if (colours.light.empty()) continue;
      Line line{side, 1 / out.norm(), {}};
      for (double t = -half + 2; t < half - 1; t += 3)
        for (EdgePeak p : edge_peaks(best_mixture(colours, t), 7)) {
          p.offset += half - 4;
          line.peaks.push_back(p);
        }
      lines.push_back(std::move(line));
    }
  }
  std::optional<double> best;
  double most = 0;
  for (double height = kLowestNut; height < kHighestNut; height += 0.1) {
    int expected = 0, met = 0;
    for (const Line& line : lines) {
      const double at = beyond(line.side, height) / line.mm_per_px;
      if (at < kClearOfFacePx) continue;
      ++expected;
      met += std::any_of(line.peaks.begin(), line.peaks.end(),
                         [&](const EdgePeak& p) { return std::abs(p.offset - at) < kOnFootPx; })
                 ? 1
                 : 0;
    }
    const double share = expected >= kFewestFoot ? static_cast<double>(met) / expected : 0;
    if (share < kLeastFoot || share <= most) continue;
    most = share;
    best = height;
  }
  return best;
}

}  // namespace spile::vision
