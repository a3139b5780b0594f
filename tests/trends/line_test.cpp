// Weighted straight lines against published worked examples, to the digits published, and against the GNU
// Scientific Library on drawn data.
#include "trends/line.hpp"

#include <gsl/gsl_fit.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

namespace spile::trends {
namespace {

std::vector<Reading> readings(const std::vector<double>& t, const std::vector<double>& value,
                              const std::vector<double>& u) {
  std::vector<Reading> all;
  for (std::size_t i = 0; i < t.size(); ++i) all.push_back({t[i], value[i], u[i]});
  return all;
}

// NIST Statistical Reference Datasets, linear least squares regression, Norris: data and certified values.
const std::vector<double> kNorrisX = {0.2,   337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6,
                                      777.0, 558.2, 0.4,   0.6,   775.5, 666.9, 338.0, 447.5, 11.6,
                                      556.0, 228.1, 995.8, 887.6, 120.2, 0.3,   0.3,   556.8, 339.1,
                                      887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
const std::vector<double> kNorrisY = {0.1,   338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1,
                                      778.9, 559.2, 0.3,   0.1,   778.1, 668.8, 339.3, 448.9, 10.8,
                                      557.7, 228.3, 998.0, 888.8, 119.6, 0.3,   0.6,   557.6, 339.3,
                                      888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};

TEST(Line, MeetsTheCertifiedDigitsOfNorris) {
  const auto line = fit_line(readings(kNorrisX, kNorrisY, std::vector<double>(36, 1.0))).value();
  EXPECT_NEAR(line.at(0), -0.262323073774029, 1e-12);
  EXPECT_NEAR(line.rate, 1.00211681802045, 1e-14);
  const double residual = std::sqrt(line.chi_squared / 34);
  EXPECT_NEAR(residual, 0.884796396144373, 1e-14);
  EXPECT_NEAR(residual, line.scatter(), 1e-15);
  EXPECT_NEAR(line.u_rate * residual, 0.429796848199937E-03, 1e-17);
  EXPECT_NEAR(line.u_at(0) * residual, 0.232818234301152, 1e-14);
}

// Far from zero the digits must not drown: the same data a thousand years on.
TEST(Line, KeepsItsDigitsFarFromZero) {
  auto later = readings(kNorrisX, kNorrisY, std::vector<double>(36, 1.0));
  for (auto& r : later) r.t += 1024 * 1024;
  EXPECT_NEAR(fit_line(later)->rate, 1.00211681802045, 1e-11);
}

// GNU Scientific Library reference manual, chapter on least-squares fitting, the example of a weighted line.
TEST(Line, MeetsTheManualsWeightedExample) {
  const auto line =
      fit_line(readings({1970, 1980, 1990, 2000}, {12, 11, 14, 13},
                        {std::sqrt(1 / 0.1), std::sqrt(1 / 0.2), std::sqrt(1 / 0.3), std::sqrt(1 / 0.4)}))
          .value();
  EXPECT_NEAR(line.at(0), -106.6, 1e-9);
  EXPECT_NEAR(line.rate, 0.06, 1e-12);
  EXPECT_NEAR(line.chi_squared, 0.8, 1e-12);
  EXPECT_NEAR(line.u_at(0) * line.u_at(0), 39602, 1e-6);
  EXPECT_NEAR(line.u_rate * line.u_rate, 0.01, 1e-12);
}

// From memory: ISO/TS 28037:2010, 6.3, examples of weighted least squares with equal and with unequal
// weights.
TEST(Line, MeetsTheCalibrationStandardsExamples) {
  const std::vector<double> x = {1, 2, 3, 4, 5, 6};
  const auto equal =
      fit_line(readings(x, {3.3, 5.6, 7.1, 9.3, 10.7, 12.1}, std::vector<double>(6, 0.5))).value();
  EXPECT_NEAR(equal.at(0), 1.867, 0.0005);
  EXPECT_NEAR(equal.rate, 1.757, 0.0005);
  EXPECT_NEAR(equal.u_at(0), 0.465, 0.0005);
  EXPECT_NEAR(equal.u_rate, 0.120, 0.0005);
  EXPECT_NEAR(equal.chi_squared, 1.665, 0.0005);
  const auto unequal =
      fit_line(readings(x, {3.2, 4.3, 7.6, 8.6, 11.7, 12.8}, {0.5, 0.5, 0.5, 1, 1, 1})).value();
  EXPECT_NEAR(unequal.at(0), 0.885, 0.0005);
  EXPECT_NEAR(unequal.rate, 2.057, 0.0005);
  EXPECT_NEAR(unequal.u_at(0), 0.530, 0.0005);
  EXPECT_NEAR(unequal.u_rate, 0.178, 0.0005);
  EXPECT_NEAR(unequal.chi_squared, 4.131, 0.0005);
}

TEST(Line, AgreesWithTheScientificLibrary) {
  std::mt19937 random(28037);
  std::uniform_real_distribution<double> when(0, 20), how_well(0.05, 3), what(10, 60);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<double> t, value, u, weight;
    for (int i = 0; i < 2 + trial % 19; ++i) {
      t.push_back(when(random));
      value.push_back(what(random));
      u.push_back(how_well(random));
      weight.push_back(1 / (u.back() * u.back()));
    }
    double c0 = 0, c1 = 0, cov00 = 0, cov01 = 0, cov11 = 0, chi_squared = 0;
    gsl_fit_wlinear(t.data(), 1, weight.data(), 1, value.data(), 1, t.size(), &c0, &c1, &cov00, &cov01,
                    &cov11, &chi_squared);
    const auto line = fit_line(readings(t, value, u)).value();
    EXPECT_NEAR(line.at(0), c0, 1e-8 * (1 + std::abs(c0)));
    EXPECT_NEAR(line.rate, c1, 1e-8 * (1 + std::abs(c1)));
    EXPECT_NEAR(line.u_at(0), std::sqrt(cov00), 1e-8 * std::sqrt(cov00));
    EXPECT_NEAR(line.u_rate, std::sqrt(cov11), 1e-8 * std::sqrt(cov11));
    EXPECT_NEAR(line.chi_squared, chi_squared, 1e-7 * (1 + chi_squared));
  }
}

TEST(Line, NeedsTwoTimes) {
  EXPECT_FALSE(fit_line({}));
  EXPECT_FALSE(fit_line(readings({3}, {5}, {1})));
  EXPECT_FALSE(fit_line(readings({3, 3, 3}, {5, 6, 7}, {1, 1, 1})));
  EXPECT_TRUE(fit_line(readings({3, 4}, {5, 6}, {1, 1})));
}

}  // namespace
}  // namespace spile::trends
