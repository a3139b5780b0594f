#include "vision/head_fit.hpp"

#include <algorithm>
#include <cmath>

#include "vision/median.hpp"

namespace spile::vision {
namespace {

// Heights over the hull, common practice; all are measured where the parallax shows them.
constexpr double kRimHeightSpread = 0.5, kBoreHeightSpread = 1.3;  // of a mushroom head
constexpr double kPlate = 4, kPlateSpread = 1.6, kLevel = 0.25;    // of a flat flange; its bore with its rim
constexpr double kOffCentre = 0.15;                                // bore against flange
constexpr double kFootShadow = 0.15;  // how far sealant or shadow moves the line where the rim meets the hull
constexpr double kFootU = 0.25;       // of the foot of a plate as a whole: its shadow, sealant in the crease
constexpr double kCorrelated = 4;     // neighbouring rim samples err together

double spread(const Eigen::VectorXd& misses) {
  std::vector<double> size;
  for (const double miss : misses) size.push_back(std::abs(miss));
  return 1.4826 * median(std::move(size));
}

std::vector<Point2> in_plane(const Plane& plane, double z, const std::vector<Point2>& px) {
  std::vector<Point2> out;
  for (const Point2& p : px) {
    const auto mm = plane.mm_from_px(p, z);
    out.push_back(mm ? *mm : Point2(1e6, 1e6));
  }
  return out;
}

// Strays count little: beyond two and a half scatters the residual grows with the root only.
double damped(double z) {
  const double a = std::abs(z);
  return a < 1.25 ? z : std::copysign(std::sqrt(2.5 * a - 1.5625), z);
}

double outside(const Circle& circle, const Point2& p) {
  return (p - circle.centre).norm() - circle.radius;
}

}  // namespace

Circle shadow_of(const Point3& eye, double hull_z, const Circle& circle, double height) {
  const double grow = (eye.z() - hull_z) / (eye.z() - hull_z - height);
  const Point2 foot = eye.head<2>();
  return {foot + (circle.centre - foot) * grow, circle.radius * grow};
}

HeadFit::HeadFit(HeadKind kind, HeadEdges edges, const FittingRings& seen)
    : kind_(kind), edges_(std::move(edges)), start_(Eigen::VectorXd::Zero(Head::kUnknowns)) {
  const bool flat = kind == HeadKind::Flat;
  start_ << seen.flange.circle.centre.x(), seen.flange.circle.centre.y(), seen.flange.circle.radius,
      flat ? kPlate : kUsualRimHeight, seen.bore ? seen.bore->circle.radius : 10,
      flat ? kPlate : kUsualBoreHeight, 0, 0, 0;
}

LeastSquaresResult HeadFit::solve(const Plane& plane, double hull_z, int iterations) const {
  const Lit lit = lit_by(plane, hull_z);
  const Eigen::VectorXd step = Eigen::VectorXd::Constant(Head::kUnknowns, 1e-4);
  return least_squares([&](const Eigen::VectorXd& x) { return residuals(lit, x); }, start_, step, iterations);
}

double HeadFit::moved(const LeastSquaresResult& solved, const Plane& plane, double hull_z,
                      Head::Unknown which) const {
  const Eigen::VectorXd r = residuals(lit_by(plane, hull_z), solved.x);
  return solved.x[which] - (solved.covariance * (solved.jacobian.transpose() * r))[which];
}

void HeadFit::weigh(const Plane& plane, double hull_z, double least) {
  const Lit lit = lit_by(plane, hull_z);
  rim_u_ = bore_u_ = 1;
  const Eigen::VectorXd r = residuals(lit, start_);
  const auto n = static_cast<Eigen::Index>(edges_.flange.size()),
             m = static_cast<Eigen::Index>(edges_.bore.size());
  rim_u_ = std::sqrt(kCorrelated) * std::max(least, spread(r.head(n)));
  bore_u_ = std::sqrt(kCorrelated) * std::max(least, m > 0 ? spread(r.segment(n, m)) : 1);
}

void HeadFit::weigh_as(const HeadFit& other) {
  rim_u_ = other.rim_u_;
  bore_u_ = other.bore_u_;
}

double HeadFit::misfit(const LeastSquaresResult& solved) const {
  const auto before = static_cast<Eigen::Index>(edges_.flange.size() + edges_.bore.size());
  return solved.residuals.squaredNorm() -
         solved.residuals.segment(before, static_cast<Eigen::Index>(edges_.foot.size())).squaredNorm();
}

double HeadFit::log_prior() const {
  return kind_ == HeadKind::Flat ? -std::log(kPlateSpread * kLevel)
                                 : -std::log(kRimHeightSpread * kBoreHeightSpread);
}

HeadFit::Lit HeadFit::lit_by(const Plane& plane, double hull_z) const {
  return {plane.camera_mm(), hull_z, in_plane(plane, hull_z, edges_.flange),
          in_plane(plane, hull_z, edges_.foot), in_plane(plane, hull_z, edges_.bore)};
}

Eigen::VectorXd HeadFit::residuals(const Lit& lit, const Eigen::VectorXd& x) const {
  const auto n = static_cast<Eigen::Index>(lit.flange.size()), m = static_cast<Eigen::Index>(lit.bore.size()),
             f = static_cast<Eigen::Index>(lit.foot.size());
  const bool flat = kind_ == HeadKind::Flat;
  const double foot_u = kFootU * std::sqrt(std::max(1.0, static_cast<double>(f)));
  Eigen::VectorXd r(n + m + f + 6);
  const Point2 centre(x[Head::X], x[Head::Y]), off(x[Head::OffX], x[Head::OffY]);
  const Circle base{centre, x[Head::Radius] + x[Head::Foot]};
  const Circle top = shadow_of(lit.eye, lit.hull_z, {centre, x[Head::Radius]}, x[Head::RimHeight]);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Point2& p = lit.flange[static_cast<std::size_t>(i)];
    // Of a mushroom what is seen is the outline of both ends of the short cylinder; a plate's face has an
    // edge of its own all round.
    const double out = flat ? outside(top, p) : std::min(outside(base, p), outside(top, p));
    r[i] = damped(out / rim_u_);
  }
  const Circle bore =
      shadow_of(lit.eye, lit.hull_z, {centre + off, x[Head::BoreRadius]}, x[Head::BoreHeight]);
  for (Eigen::Index i = 0; i < m; ++i)
    r[n + i] = damped(outside(bore, lit.bore[static_cast<std::size_t>(i)]) / bore_u_);
  for (Eigen::Index i = 0; i < f; ++i)
    r[n + m + i] = damped(outside(base, lit.foot[static_cast<std::size_t>(i)]) / foot_u);
  const double rim = flat ? (x[Head::RimHeight] - kPlate) / kPlateSpread
                          : (x[Head::RimHeight] - kUsualRimHeight) / kRimHeightSpread;
  const double lip = flat ? (x[Head::BoreHeight] - x[Head::RimHeight]) / kLevel
                          : (x[Head::BoreHeight] - kUsualBoreHeight) / kBoreHeightSpread;
  r.tail(6) << rim, lip, x[Head::OffX] / kOffCentre, x[Head::OffY] / kOffCentre, x[Head::Foot] / kFootShadow,
      m > 0 ? 0 : (x[Head::BoreRadius] - 10) / 100;
  return r;
}

}  // namespace spile::vision
