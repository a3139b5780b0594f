// Lengths along a course that a person drew.
#include <algorithm>
#include <cmath>

#include "vision/laid.hpp"
#include "vision/seasons.hpp"

namespace spile::vision {
namespace {

using Course = std::vector<Point2>;  // mm on the hull

std::optional<Course> on_hull(const std::vector<PixelPoint>& points, const Plane& plane, double z) {
  Course out;
  for (const PixelPoint& p : points) {
    const auto mm = plane.mm_from_px(point(p), z);
    if (!mm) return std::nullopt;
    out.push_back(*mm);
  }
  return out;
}

double length_of(const Course& course) {
  double out = 0;
  for (std::size_t i = 1; i < course.size(); ++i) out += (course[i] - course[i - 1]).norm();
  return out;
}

Point2 direction(const Point2& from, const Point2& to) {
  const double length = (to - from).norm();
  return length > 0 ? Point2((to - from) / length) : Point2(Point2::Zero());
}

// Moving a point changes the length by the difference of the directions that meet there: at a bend a little,
// at an end by as much as it is moved.
double u_of_placing(const Course& course, double u_mm) {
  double sum = 0;
  for (std::size_t i = 0; i < course.size(); ++i) {
    Point2 change = Point2::Zero();
    if (i > 0) change += direction(course[i - 1], course[i]);
    if (i + 1 < course.size()) change -= direction(course[i], course[i + 1]);
    sum += change.squaredNorm();
  }
  return u_mm * std::sqrt(sum);
}

// An arc that turns by an angle over a chord is longer than it by a 24th of the angle squared, to second
// order: what straight pieces cut off a curved crack, were the points on its curve.
double u_between_points(const Course& course) {
  double out = 0;
  for (std::size_t i = 1; i + 1 < course.size(); ++i) {
    const Point2 before = direction(course[i - 1], course[i]), after = direction(course[i], course[i + 1]);
    const double turn = std::acos(std::clamp(before.dot(after), -1.0, 1.0));
    const double piece = 0.5 * ((course[i] - course[i - 1]).norm() + (course[i + 1] - course[i]).norm());
    out += piece * turn * turn / 24;
  }
  return out;
}

}  // namespace

std::optional<TracedLength> traced_length(const Comparison& comparison, Season on,
                                          const std::vector<PixelPoint>& points, double placed_px) {
  if (!comparison.laid || !comparison.laid->reference(on) || points.size() < 2) return std::nullopt;
  const FoundReference& reference = *comparison.laid->reference(on);
  const auto course = on_hull(points, reference.plane, reference.hull_z());
  if (!course) return std::nullopt;
  TracedLength out;
  out.length_mm = length_of(*course);
  if (!(out.length_mm > 0)) return std::nullopt;
  const PixelPoint& middle = points[points.size() / 2];
  const double u_mm = placed_px * reference.plane.mm_per_px(point(middle), reference.hull_z());
  out.budget.push_back({"points as placed", u_of_placing(*course, u_mm)});
  if (const double u = u_between_points(*course); u > 0)
    out.budget.push_back({"course between the points", u});
  const auto length = [&](const Plane& plane, double z) {
    const auto moved = on_hull(points, plane, z);
    return moved ? length_of(*moved) : out.length_mm;
  };
  for (const LengthTerm& term : reference_terms(reference, length)) out.budget.push_back({term.term, term.u});
  double variance = 0;
  for (const model::BudgetTerm& term : out.budget) variance += term.u * term.u;
  out.u95_mm = 1.96 * std::sqrt(variance);
  std::stable_sort(out.budget.begin(), out.budget.end(),
                   [](const auto& a, const auto& b) { return a.u > b.u; });
  out.reference_kind = reference.kind;
  out.reference_outline = reference.outline;
  out.lens = comparison.laid->lens(on);
  return out;
}

}  // namespace spile::vision
