#include "vision/hole_report.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "metrology/uncertainty.hpp"
#include "vision/subject.hpp"

namespace spile::vision {
namespace {

constexpr double kEdgePx = 0.10;  // tone curve and sharpening move an edge by about this much
// Paint is 0.1 to 0.4 mm thick; seen from the side it may pass for the hull's face. Once made out it is known
// better.
constexpr double kCoatUnseenMm = 0.12, kCoatSeenMm = 0.05;

// A rim near the horizon of a trial plane has no length in it: then nothing at all is known of that term.
double known(double u) {
  return std::isfinite(u) ? u : 1e6;
}

metrology::Budget budget_of(const FineRim& rim, const FoundReference& reference) {
  metrology::Budget budget;
  const auto diameter = [&](const Plane& plane, double z) { return diameter_in(rim, plane, z); };
  for (const LengthTerm& term : reference_terms(reference, diameter)) budget.add(term.term, known(term.u));
  budget.add("hull's coat below the rim",
             (rim.coat_mm > 0.1 ? kCoatSeenMm : kCoatUnseenMm) * known(rim.coat_lever));
  budget.add("edge location", 2 * kEdgePx * rim.mm_per_px);
  budget.add(rim.placed ? "rim points placed by hand" : "rim roughness and noise",
             known(2 * rim.fit.u_radius));
  if (rim.u_other_edge > 0) budget.add("another edge may be meant", known(2 * rim.u_other_edge));
  return budget;
}

std::vector<PixelPoint> outline_of(const FineRim& rim, const Plane& plane, double z) {
  constexpr int kPoints = 120;
  std::vector<PixelPoint> out;
  for (int k = 0; k < kPoints; ++k) {
    const Point2 mm = rim.fit.at(2 * M_PI * k / kPoints);
    out.push_back(pixel(plane.px_from_mm(Point3(mm.x(), mm.y(), z))));
  }
  return out;
}

}  // namespace

// Least squares circle on a share of the rim's points.
double diameter_in(const FineRim& rim, const Plane& plane, double z) {
  Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
  Eigen::Vector3d v = Eigen::Vector3d::Zero();
  const std::size_t stride = std::max<std::size_t>(1, rim.samples.size() / 120);
  for (std::size_t i = 0; i < rim.samples.size(); i += stride) {
    if (!rim.samples[i].inlier) continue;
    const auto mm = plane.mm_from_px(rim.samples[i].px, z);
    if (!mm) continue;
    const Point2 p = *mm - rim.fit.centre;
    const Eigen::Vector3d row(2 * p.x(), 2 * p.y(), 1);
    m += row * row.transpose();
    v += p.squaredNorm() * row;
  }
  const Eigen::Vector3d s = m.ldlt().solve(v);
  return 2 * std::sqrt(std::max(0.0, s[2] + s[0] * s[0] + s[1] * s[1]));
}

Hole described(const FineRim& rim, const FoundReference& reference) {
  const double z = reference.hull_z();
  Hole hole;
  hole.centre_px = pixel(reference.plane.px_from_mm(Point3(rim.fit.centre.x(), rim.fit.centre.y(), z)));
  hole.diameter_mm = 2 * rim.fit.radius;
  hole.major_mm = 2 * (rim.fit.radius + rim.fit.oval());
  hole.minor_mm = 2 * (rim.fit.radius - rim.fit.oval());
  hole.ovality_pct = 100 * (hole.major_mm - hole.minor_mm) / hole.diameter_mm;
  hole.edge_seen = rim.seen;
  const metrology::Budget budget = budget_of(rim, reference);
  hole.u95_mm = budget.expanded().u95;
  hole.budget = budget.terms();
  hole.outline = outline_of(rim, reference.plane, z);
  return hole;
}

}  // namespace spile::vision
