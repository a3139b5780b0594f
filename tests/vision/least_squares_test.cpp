#include "vision/least_squares.hpp"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <array>
#include <cmath>

namespace spile::vision {
namespace {

// Certified values of the NIST Statistical Reference Datasets, nonlinear regression, "Misra1a" (lower level
// of difficulty): y = b1 (1 - exp(-b2 x)). From memory of the published data set and certificate.
TEST(LeastSquares, NistMisra1a) {
  const std::array<double, 14> y{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                                 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};
  const std::array<double, 14> x{77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                                 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};
  const auto residuals = [&](const Eigen::VectorXd& b) {
    Eigen::VectorXd r(14);
    for (Eigen::Index i = 0; i < 14; ++i) {
      const auto k = static_cast<std::size_t>(i);
      r[i] = y[k] - b[0] * (1 - std::exp(-b[1] * x[k]));
    }
    return r;
  };
  const auto fit = least_squares(residuals, Eigen::Vector2d(250, 0.0005), Eigen::Vector2d(1e-3, 1e-9), 200);
  EXPECT_NEAR(fit.x[0], 2.3894212918E+02, 1e-3);
  EXPECT_NEAR(fit.x[1], 5.5015643181E-04, 1e-9);
  EXPECT_NEAR(fit.residuals.squaredNorm(), 1.2455138894E-01, 1e-8);
  const double s = std::sqrt(fit.residuals.squaredNorm() / 12);
  EXPECT_NEAR(s * std::sqrt(fit.covariance(0, 0)), 2.7070075241E+00, 1e-3);
  EXPECT_NEAR(s * std::sqrt(fit.covariance(1, 1)), 7.2668688436E-06, 1e-9);
}

TEST(LeastSquares, SharesOfTheCovarianceAddUp) {
  const auto residuals = [](const Eigen::VectorXd& x) {
    Eigen::VectorXd r(5);
    r << x[0] - 1, 2 * x[1] + x[0], 0.3 * x[0] * x[1], x[0] + 4, 0.1 * x[1];
    return r;
  };
  const auto fit = least_squares(residuals, Eigen::Vector2d(0.1, 0.2), Eigen::Vector2d(1e-6, 1e-6));
  const Eigen::MatrixXd sum = fit.covariance_from(0, 2) + fit.covariance_from(2, 3);
  EXPECT_LT((sum - fit.covariance).norm(), 1e-9 * fit.covariance.norm());
}

}  // namespace
}  // namespace spile::vision
