#include "vision/rim.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

struct CoarseEdge {
  std::size_t direction = 0;
  Point2 mm = Point2::Zero();
  double contrast = 0;
};

constexpr int kDirections = 72;

std::vector<CoarseEdge> edges_around(const RimPlace& place, const Circle& start) {
  std::vector<CoarseEdge> out;
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 2 * M_PI * k / kDirections;
    const auto foot = place.foot(start.centre, start.radius, angle);
    const double reach = 0.3 * start.radius / foot.mm_per_px;
    const double step = std::max(0.5, reach / 40);
    const auto colours = sample_colours(place.view, {foot.px.x(), foot.px.y()},
                                        {foot.normal.x(), foot.normal.y()}, -reach, reach, step, 2);
    for (const auto& [t, contrast] : steps_of(colours)) {
      const auto mm = place.plane.mm_from_px(foot.px + t * foot.normal, place.z);
      if (mm) out.push_back({static_cast<std::size_t>(k), *mm, contrast});
    }
  }
  return out;
}

struct Tally {
  double score = 0;
  int directions = 0;
};

Tally tally(const std::vector<CoarseEdge>& edges, const Circle& circle, double tolerance) {
  std::array<double, kDirections> best{};
  for (const CoarseEdge& e : edges) {
    const double away = std::abs((e.mm - circle.centre).norm() - circle.radius) / tolerance;
    if (away < 1)
      best[e.direction] = std::max(best[e.direction], (1 - away * away) * std::min(e.contrast, 60.0));
  }
  Tally out;
  for (const double b : best) {
    out.score += std::sqrt(b);
    out.directions += b > 0 ? 1 : 0;
  }
  return out;
}

bool near(const Circle& a, const Circle& start) {
  return (a.centre - start.centre).norm() < 0.25 * start.radius && a.radius > 0.78 * start.radius &&
         a.radius < 1.25 * start.radius;
}

}  // namespace

RimPlace::Foot RimPlace::foot(const Point2& centre, double radius, double angle) const {
  const Point2 out(std::cos(angle), std::sin(angle)), along(-out.y(), out.x());
  const Point2 mm = centre + radius * out;
  const double h = 1e-3 * radius;
  const auto px = [&](const Point2& p) { return plane.px_from_mm(Point3(p.x(), p.y(), z)); };
  const Point2 tangent = (px(mm + h * along) - px(mm - h * along)) / (2 * h);
  const Point2 radial = (px(mm + h * out) - px(mm - h * out)) / (2 * h);
  Foot foot;
  foot.px = px(mm);
  foot.normal = Point2(-tangent.y(), tangent.x()).normalized();
  if (foot.normal.dot(radial) < 0) foot.normal = -foot.normal;
  foot.mm_per_px = 1 / std::max(1e-9, foot.normal.dot(radial));
  return foot;
}

std::optional<CoarseRim> coarse_rim(const RimPlace& place, const Circle& start) {
  const auto edges = edges_around(place, start);
  if (edges.size() < kDirections / 3) return std::nullopt;
  const double px = place.foot(start.centre, start.radius, 0).mm_per_px;
  const double tolerance = std::max(1.2 * px, 0.02 * start.radius);
  std::mt19937 random(12345);
  std::uniform_int_distribution<std::size_t> pick(0, edges.size() - 1);
  Circle best = start;
  Tally most;
  for (int trial = 0; trial < 400; ++trial) {
    const CoarseEdge &a = edges[pick(random)], &b = edges[pick(random)], &c = edges[pick(random)];
    const auto circle = circle_through(a.mm, b.mm, c.mm);
    if (!circle || !near(*circle, start)) continue;
    const Tally now = tally(edges, *circle, tolerance);
    if (now.score > most.score) {
      most = now;
      best = *circle;
    }
  }
  if (most.directions < kDirections / 3) return std::nullopt;
  std::vector<RimPoint> on;
  std::vector<double> contrast;
  for (const CoarseEdge& e : edges) {
    if (std::abs((e.mm - best.centre).norm() - best.radius) < tolerance) {
      on.push_back({e.mm, 0.3 * px});
      contrast.push_back(e.contrast);
    }
  }
  if (const auto fit = fit_round(on, 0); fit && near({fit->centre, fit->radius}, start))
    best = {fit->centre, fit->radius};
  std::nth_element(contrast.begin(), contrast.begin() + static_cast<std::ptrdiff_t>(contrast.size() / 2),
                   contrast.end());
  return CoarseRim{best, static_cast<double>(tally(edges, best, tolerance).directions) / kDirections,
                   contrast[contrast.size() / 2]};
}

namespace {

double first_reach(double radius_px, StepChoice choice) {
  switch (choice) {
    case StepChoice::Outermost:
      return std::clamp(0.07 * radius_px, 4.0, 25.0);
    case StepChoice::Nearest:
      return std::clamp(0.015 * radius_px, 2.5, 5.0);
    case StepChoice::Clearest:
      break;
  }
  return std::clamp(0.03 * radius_px, 3.0, 8.0);
}

std::optional<RimSample> sample_rim(const RimPlace& place, const RoundFit& fit, double angle, double reach,
                                    StepChoice choice) {
  const auto foot = place.foot(fit.centre, fit.radius_at(angle), angle);
  const double span = reach + 5;
  const auto colours =
      sample_colours(place.view, {foot.px.x(), foot.px.y()}, {foot.normal.x(), foot.normal.y()}, -span, span);
  if (colours.light.empty()) return std::nullopt;
  RimSample out;
  out.angle = angle;
  out.mm_per_px = foot.mm_per_px;
  const auto start = chosen_step(colours, reach, choice);
  if (!start) return out;
  const double within = choice == StepChoice::Nearest ? clear_of_other_steps(colours, *start) : 4;
  const auto edge = fit_edge(best_mixture(colours, *start, within), *start, within, 6);
  if (!edge || std::abs(edge->offset) > reach + 1) return out;
  out.px = foot.px + edge->offset * foot.normal;
  const auto mm = place.plane.mm_from_px(out.px, place.z);
  if (!mm) return out;
  out.mm = *mm;
  out.u_mm = edge->u * foot.mm_per_px;
  out.blur_px = edge->blur;
  out.contrast = edge->contrast();
  return out;
}

// Samples with an edge, for the fit; `which` tells their places among all samples.
std::vector<RimPoint> points_of(const std::vector<RimSample>& samples, std::vector<std::size_t>& which) {
  std::vector<RimPoint> out;
  which.clear();
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (samples[i].contrast == 0) continue;
    out.push_back({samples[i].mm, std::hypot(samples[i].u_mm, 0.1 * samples[i].mm_per_px)});
    which.push_back(i);
  }
  return out;
}

void summarise(FineRim& rim) {
  std::vector<double> contrast, blur, scale;
  double inliers = 0;
  for (const RimSample& s : rim.samples) {
    scale.push_back(s.mm_per_px);
    if (!s.inlier) continue;
    ++inliers;
    contrast.push_back(std::abs(s.contrast));
    blur.push_back(s.blur_px);
  }
  rim.seen = rim.directions > 0 ? inliers / rim.directions : 0;
  rim.contrast = median(contrast);
  rim.blur_px = median(blur);
  rim.mm_per_px = median(scale);
}

}  // namespace

std::optional<EdgeFit> nearest_edge(const RimPlace& place, const RimPlace::Foot& foot, double reach) {
  const double span = reach + 5;
  const auto colours =
      sample_colours(place.view, {foot.px.x(), foot.px.y()}, {foot.normal.x(), foot.normal.y()}, -span, span);
  double nearest = reach, start = 0;
  bool found = false;
  for (const auto& [t, contrast] : steps_of(colours)) {
    if (std::abs(t) > nearest) continue;
    nearest = std::abs(t);
    start = t;
    found = true;
  }
  if (!found) return std::nullopt;
  return fit_edge(best_mixture(colours, start), start, 4, 6);
}

std::optional<FineRim> fine_rim(const RimPlace& place, const Circle& start, double u_roundness,
                                StepChoice choice) {
  FineRim rim;
  rim.fit.centre = start.centre;
  rim.fit.radius = start.radius;
  const double px = place.foot(start.centre, start.radius, 0).mm_per_px;
  rim.directions = std::clamp(static_cast<int>(2 * M_PI * start.radius / px / 1.5), 72,
                              choice == StepChoice::Nearest ? kFewDirections : 480);
  const double first = first_reach(start.radius / px, choice);
  int round = 0;
  for (const double reach : {first, std::max(std::min(first, 3.0), 0.3 * first), 2.5}) {
    // Every fourth direction finds the way; all of them measure.
    const bool last = ++round == 3;
    const int directions = last ? rim.directions : std::max(72, rim.directions / 4);
    rim.samples.clear();
    for (int k = 0; k < directions; ++k) {
      auto sample = sample_rim(place, rim.fit, 2 * M_PI * k / directions, reach,
                               last && choice == StepChoice::Outermost ? StepChoice::Clearest : choice);
      if (sample) rim.samples.push_back(*sample);
    }
    std::vector<std::size_t> which;
    const auto points = points_of(rim.samples, which);
    if (static_cast<int>(points.size()) < directions / 4) return std::nullopt;
    const auto fit = fit_round(points, u_roundness);
    if (!fit || std::abs(fit->radius - start.radius) > 0.25 * start.radius) return std::nullopt;
    rim.fit = *fit;
    for (std::size_t i = 0; i < which.size(); ++i) rim.samples[which[i]].inlier = fit->inlier[i];
  }
  summarise(rim);
  return rim;
}

}  // namespace spile::vision
