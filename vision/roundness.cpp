#include "vision/roundness.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace spile::vision {
namespace {

constexpr std::size_t kPointsOnRim = 36;
constexpr Eigen::Index kRimUnknowns = 5;  // centre x, y, radius, oval cos, oval sin

// A share of the rim's points, evenly taken.
std::vector<Point2> some_of(const FineRim& rim) {
  std::vector<Point2> inliers, out;
  for (const RimSample& s : rim.samples) {
    if (s.inlier) inliers.push_back(s.px);
  }
  const std::size_t n = std::min(kPointsOnRim, inliers.size());
  for (std::size_t k = 0; k < n; ++k) out.push_back(inliers[k * inliers.size() / n]);
  return out;
}

struct SeenRim {
  std::vector<Point2> px;
  Point2 centre = Point2::Zero();
  double radius = 1, u_mm = 1;
};

struct Problem {
  const Plane& base;
  double z = 0, u_roundness = 0.01;
  Eigen::MatrixXd whiten;  // of the plane's unknowns, by what the reference knew
  std::vector<SeenRim> rims;

  [[nodiscard]] Eigen::Index rows() const {
    Eigen::Index n = Plane::kUnknowns;
    for (const SeenRim& rim : rims) n += static_cast<Eigen::Index>(rim.px.size()) + 2;
    return n;
  }

  [[nodiscard]] Eigen::VectorXd residuals(const Eigen::VectorXd& x) const {
    const Plane::Vector change = x.head<Plane::kUnknowns>();
    const Plane plane = base.moved(change);
    Eigen::VectorXd r(rows());
    r.head<Plane::kUnknowns>() = whiten * change;
    Eigen::Index row = Plane::kUnknowns, unknown = Plane::kUnknowns;
    for (const SeenRim& rim : rims) {
      const auto shape = x.segment<kRimUnknowns>(unknown);
      unknown += kRimUnknowns;
      for (const Point2& px : rim.px) {
        const auto mm = plane.mm_from_px(px, z);
        const Point2 d = mm ? Point2(*mm - rim.centre - shape.head<2>()) : Point2(1e3, 1e3);
        const double angle = std::atan2(d.y(), d.x());
        const double radius =
            rim.radius + shape[2] + shape[3] * std::cos(2 * angle) + shape[4] * std::sin(2 * angle);
        r[row++] = (d.norm() - radius) / rim.u_mm;
      }
      r[row++] = shape[3] / (u_roundness * rim.radius);
      r[row++] = shape[4] / (u_roundness * rim.radius);
    }
    return r;
  }
};

// `laid` is the rim in a trial plane, `found` as it was found: its scatter there is what it is worth.
SeenRim seen(const FineRim& laid, const FineRim& found) {
  const double u = std::max(found.fit.bin_scatter, 0.15 * found.mm_per_px);
  return {some_of(laid), laid.fit.centre, laid.fit.radius, u * laid.fit.radius / found.fit.radius};
}

Eigen::MatrixXd whitener(const Plane::Matrix& covariance) {
  const Plane::Vector scale = covariance.diagonal().cwiseMax(1e-24).cwiseSqrt();
  Plane::Matrix correlation =
      scale.cwiseInverse().asDiagonal() * covariance * scale.cwiseInverse().asDiagonal();
  correlation.diagonal().array() += 1e-9;
  const Plane::Matrix root = correlation.llt().matrixL();
  return root.inverse() * scale.cwiseInverse().asDiagonal();
}

Eigen::VectorXd steps_for(const Plane& plane, const Eigen::Index unknowns) {
  Eigen::VectorXd step = Eigen::VectorXd::Constant(unknowns, 1e-4);
  step.head<3>().setConstant(1e-6);
  step.segment<3>(Plane::X).setConstant(1e-6 * plane.origin.z());
  step.segment<3>(Plane::LogFocal).setConstant(1e-6);
  return step;
}

// From square on, a tilt to either side looks alike to first order: start from several and keep the best.
LeastSquaresResult best_solution(const Problem& problem, double u_tilt) {
  const Eigen::Index unknowns =
      Plane::kUnknowns + kRimUnknowns * static_cast<Eigen::Index>(problem.rims.size());
  const Eigen::VectorXd step = steps_for(problem.base, unknowns);
  const auto residuals = [&](const Eigen::VectorXd& x) { return problem.residuals(x); };
  LeastSquaresResult best;
  double least = 1e300;
  for (int k = 0; k < 9; ++k) {
    Eigen::VectorXd start = Eigen::VectorXd::Zero(unknowns);
    if (k > 0) {
      const double turn = std::min(1.5 * u_tilt, 0.4);
      start[Plane::TurnX] = turn * std::cos(k * M_PI / 4);
      start[Plane::TurnY] = turn * std::sin(k * M_PI / 4);
    }
    auto solved = least_squares(residuals, start, step, 25);
    if (const double cost = solved.residuals.squaredNorm(); cost < least) {
      least = cost;
      best = std::move(solved);
    }
    if (u_tilt < 0.03) break;
  }
  return best;
}

}  // namespace

double aspect_doubt(const FoundReference& reference, const Point2& px) {
  const double z = reference.hull_z();
  const auto aspect = [&](const Plane& plane) {
    const auto mm = reference.plane.mm_from_px(px, z);
    if (!mm) return 0.0;
    const auto at = [&](double x, double y) { return plane.px_from_mm(Point3(mm->x() + x, mm->y() + y, z)); };
    return std::log((at(0.5, 0) - at(-0.5, 0)).norm() / (at(0, 0.5) - at(0, -0.5)).norm());
  };
  double variance = 0;
  for (const double u : reference.plane.spread_of(aspect)) variance += u * u;
  // Square on, a turn changes the aspect only to second order.
  const Plane::Matrix c = reference.plane.covariance();
  const double turn = std::max(c(0, 0), c(1, 1));
  return std::sqrt(variance) + 0.5 * turn;
}

std::vector<FineRim> laid_into(std::vector<FineRim> rims, const Plane& plane, double z, double u_roundness) {
  for (FineRim& rim : rims) {
    std::vector<RimPoint> points;
    for (RimSample& s : rim.samples) {
      if (const auto mm = plane.mm_from_px(s.px, z)) s.mm = *mm;
      if (s.inlier) points.push_back({s.mm, s.u_mm});
    }
    if (const auto fit =
            rim.placed ? fit_round_weighted(points, u_roundness) : fit_round(points, u_roundness)) {
      const RoundFit before = rim.fit;
      rim.fit = *fit;
      rim.fit.inlier = before.inlier;
      if (rim.placed) rim.fit.u_radius = before.u_radius;
    }
  }
  return rims;
}

namespace {

struct HeldPlane {
  Plane plane;
  double cost = 0;
};

HeldPlane held(const Plane& base, double z, const std::vector<FineRim>& rims, double u_roundness) {
  const Plane::Matrix before = base.covariance();
  Problem problem{base, z, u_roundness, whitener(before), {}};
  const auto laid = laid_into(rims, base, z, u_roundness);
  for (std::size_t i = 0; i < rims.size(); ++i) problem.rims.push_back(seen(laid[i], rims[i]));
  const double u_tilt = std::sqrt(std::max(before(0, 0), before(1, 1)));
  const auto solved = best_solution(problem, u_tilt);
  HeldPlane out{base.moved(solved.x.head<Plane::kUnknowns>()), solved.residuals.squaredNorm()};
  const Plane::Matrix after = solved.covariance.topLeftCorner<Plane::kUnknowns, Plane::kUnknowns>();
  // What the reference's own doubts still contribute, through the weight its knowledge keeps.
  const Plane::Matrix keep = after * (problem.whiten.transpose() * problem.whiten);
  Plane::Matrix kept = Plane::Matrix::Zero();
  out.plane.shares = base.shares;
  for (Plane::Share& share : out.plane.shares) {
    share.covariance = keep * share.covariance * keep.transpose();
    kept += share.covariance;
  }
  out.plane.shares.push_back({"roundness of the hole", after - kept});
  return out;
}

}  // namespace

FoundReference held_by_roundness(const FoundReference& reference, const std::vector<FineRim>& rims,
                                 double u_roundness) {
  constexpr double kMostOdds = 9;  // rims that are far from round are no proof against either plane
  FoundReference out = reference;
  const HeldPlane first = held(reference.plane, reference.hull_z(), rims, u_roundness);
  out.plane = first.plane;
  if (!reference.other_plane) return out;
  const HeldPlane other = held(*reference.other_plane, reference.hull_z(), rims, u_roundness);
  out.other_plane = other.plane;
  out.log_odds = std::clamp(reference.log_odds + 0.5 * (other.cost - first.cost), -kMostOdds, kMostOdds);
  if (out.log_odds < 0) {
    std::swap(out.plane, *out.other_plane);
    out.log_odds = -out.log_odds;
  }
  return out;
}

}  // namespace spile::vision
