#include "vision/least_squares.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace spile::vision {
namespace {

Eigen::MatrixXd jacobian_at(const ResidualFunction& residuals, const Eigen::VectorXd& x,
                            const Eigen::VectorXd& step, Eigen::Index rows) {
  Eigen::MatrixXd jacobian(rows, x.size());
  Eigen::VectorXd moved = x;
  for (Eigen::Index k = 0; k < x.size(); ++k) {
    moved[k] = x[k] + step[k];
    const Eigen::VectorXd up = residuals(moved);
    moved[k] = x[k] - step[k];
    jacobian.col(k) = (up - residuals(moved)) / (2 * step[k]);
    moved[k] = x[k];
  }
  return jacobian;
}

// Scaled so that unknowns of very different size (radians, mm, distortion) do not spoil the condition.
Eigen::MatrixXd inverse_normal(const Eigen::MatrixXd& jacobian) {
  Eigen::VectorXd scale = jacobian.colwise().norm();
  for (double& s : scale) s = s > 1e-12 ? 1 / s : 1;
  const Eigen::MatrixXd scaled = jacobian * scale.asDiagonal();
  const Eigen::MatrixXd inverse =
      (scaled.transpose() * scaled).completeOrthogonalDecomposition().pseudoInverse();
  return scale.asDiagonal() * inverse * scale.asDiagonal();
}

}  // namespace

Eigen::MatrixXd LeastSquaresResult::covariance_from(Eigen::Index first, Eigen::Index count) const {
  const auto rows = jacobian.middleRows(first, count);
  return covariance * (rows.transpose() * rows) * covariance;
}

LeastSquaresResult least_squares(const ResidualFunction& residuals, const Eigen::VectorXd& start,
                                 const Eigen::VectorXd& step, int max_iterations) {
  LeastSquaresResult out;
  out.x = start;
  out.residuals = residuals(start);
  double damping = 1e-4;
  for (int iteration = 0; iteration < max_iterations && !out.converged; ++iteration) {
    out.jacobian = jacobian_at(residuals, out.x, step, out.residuals.size());
    const Eigen::MatrixXd normal = out.jacobian.transpose() * out.jacobian;
    const Eigen::VectorXd gradient = out.jacobian.transpose() * out.residuals;
    const double cost = out.residuals.squaredNorm();
    bool improved = false;
    for (int attempt = 0; attempt < 12 && !improved; ++attempt) {
      Eigen::MatrixXd damped = normal;
      damped.diagonal() *= 1 + damping;
      damped.diagonal().array() += 1e-12;
      const Eigen::VectorXd change = damped.ldlt().solve(-gradient);
      const Eigen::VectorXd trial = out.x + change;
      const Eigen::VectorXd trial_residuals = residuals(trial);
      const double trial_cost = trial_residuals.squaredNorm();
      if (!std::isfinite(trial_cost) || trial_cost > cost) {
        damping *= 8;
        continue;
      }
      improved = true;
      damping = std::max(damping / 8, 1e-12);
      out.x = trial;
      out.residuals = trial_residuals;
      out.converged = cost - trial_cost <= 1e-9 * (cost + 1e-9) ||
                      (change.cwiseAbs().array() < 1e-3 * step.array()).all();
    }
    if (!improved) out.converged = true;
  }
  out.jacobian = jacobian_at(residuals, out.x, step, out.residuals.size());
  out.covariance = inverse_normal(out.jacobian);
  return out;
}

}  // namespace spile::vision
