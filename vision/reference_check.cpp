#include "vision/reference_check.hpp"

#include <fmt/format.h>

#include <cmath>

#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr double kFarOff = 0.06;  // of the length: no tilt, height or lens explains it

std::string name_of(const FoundReference& reference) {
  if (reference.kind == "square") return "sheet";
  if (reference.kind == "points") return "two points";
  return reference.kind;
}

// The two points of the outline that lie furthest apart: a length that can be seen in both planes.
std::pair<Point2, Point2> longest_of(const FoundReference& reference) {
  std::pair<Point2, Point2> best{Point2::Zero(), Point2::Zero()};
  double most = -1;
  for (const PixelPoint& a : reference.outline) {
    for (const PixelPoint& b : reference.outline) {
      const double length = (point(a) - point(b)).norm();
      if (length <= most) continue;
      most = length;
      best = {point(a), point(b)};
    }
  }
  return best;
}

struct Length {
  double mm = 0, u = 0;
};

// The length between two pixels that lie `above` the reference's hull.
Length length_by(const FoundReference& reference, const Point2& a, const Point2& b, double above) {
  const auto length = [&](const Plane& plane, double z) {
    const auto p = plane.mm_from_px(a, z + above), q = plane.mm_from_px(b, z + above);
    return p && q ? (*p - *q).norm() : 0.0;
  };
  double variance = 0;
  for (const LengthTerm& term : reference_terms(reference, length)) variance += term.u * term.u;
  return {length(reference.plane, reference.hull_z()), std::sqrt(variance)};
}

}  // namespace

Expected<ReferenceCheck> checked_against(const FoundReference& first, const FoundReference& second) {
  const auto [a, b] = longest_of(second);
  const Length by_first = length_by(first, a, b, second.height_mm);
  const Length by_second = length_by(second, a, b, second.height_mm);
  ReferenceCheck out{first, {}};
  if (!(by_first.mm > 0) || !(by_second.mm > 0)) return out;
  const double off = by_first.mm / by_second.mm - 1;
  const double u = std::hypot(by_first.u / by_first.mm, by_second.u / by_second.mm);
  if (std::abs(off) <= 1.96 * u) {
    out.agreed = fmt::format("checked against the {}: they agree within {:.1f} %", name_of(second),
                             std::max(0.1, 100 * std::abs(off)));
    return out;
  }
  if (std::abs(off) > kFarOff) {
    return refuse(
        "ambiguous-reference",
        fmt::format("The {} and the {} disagree by {:.1f} %: one of them is not of the size stated, or "
                    "does not lie flat on the hull. Check both, and measure again with the right one.",
                    name_of(first), name_of(second), 100 * std::abs(off)));
  }
  out.reference.scale_doubts.push_back({"references disagree", std::abs(off)});
  out.reference.warnings.push_back(
      fmt::format("The {} and the {} disagree by {:.1f} %, more than their intervals allow; the interval is "
                  "widened to hold both. Check that both lie flat on the hull and are of the sizes stated.",
                  name_of(first), name_of(second), 100 * std::abs(off)));
  return out;
}

}  // namespace spile::vision
