// Levenberg-Marquardt on whitened residuals (each divided by its standard uncertainty), with the covariance
// (J^T J)^-1 of the estimate and the share each group of residuals has in it.
#pragma once

#include <Eigen/Core>
#include <functional>

namespace spile::vision {

struct LeastSquaresResult {
  Eigen::VectorXd x;
  Eigen::VectorXd residuals;
  Eigen::MatrixXd jacobian;    // at x, by central differences
  Eigen::MatrixXd covariance;  // of x, for residuals of unit variance
  bool converged = false;

  // The part of the covariance that comes from residual rows [first, first + count): the parts of disjoint
  // groups that cover all rows add up to `covariance`.
  [[nodiscard]] Eigen::MatrixXd covariance_from(Eigen::Index first, Eigen::Index count) const;
};

// `residuals` must return the same number of rows each time. `step` is the difference step of each unknown.
using ResidualFunction = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;
[[nodiscard]] LeastSquaresResult least_squares(const ResidualFunction& residuals,
                                               const Eigen::VectorXd& start, const Eigen::VectorXd& step,
                                               int max_iterations = 30);

}  // namespace spile::vision
