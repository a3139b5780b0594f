// The check values of JCGM 101:2008, clause 9, and of JCGM 100:2008, annex H.2 (from memory: both documents):
// the budget has to give the columns of the linear method, drawing those of the Monte Carlo method.
#include "metrology/monte_carlo.hpp"

#include <gtest/gtest.h>

#include <array>

#include "metrology/uncertainty.hpp"

using namespace spile::metrology;
using spile::metrology::testing::propagated;
using spile::metrology::testing::Random;

namespace {

constexpr std::size_t kDraws = 1'000'000;

double normal(Random& random, double mean, double u) {
  return std::normal_distribution<double>(mean, u)(random);
}

double rectangle(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

Budget four(double u1, double u2, double u3, double u4) {
  Budget budget;
  budget.add("1", u1).add("2", u2).add("3", u3).add("4", u4);
  return budget;
}

}  // namespace

// JCGM 101, 9.2.2, table 2: four normal quantities of u = 1: u = 2.0, interval -3.92 to 3.92 by either
// method.
TEST(MonteCarlo, AdditiveModelOfNormalQuantities) {
  EXPECT_NEAR(four(1, 1, 1, 1).expanded().u95, 3.92, 0.005);
  const auto drawn = propagated(kDraws, [](Random& random) {
    double sum = 0;
    for (int i = 0; i < 4; ++i) sum += normal(random, 0, 1);
    return sum;
  });
  EXPECT_NEAR(drawn.u, 2.0, 0.01);
  EXPECT_NEAR(drawn.low, -3.92, 0.02);
  EXPECT_NEAR(drawn.high, 3.92, 0.02);
}

// JCGM 101, 9.2.3, table 3: the same with rectangles: drawing gives -3.88 to 3.88, the linear method stays.
TEST(MonteCarlo, AdditiveModelOfRectangles) {
  EXPECT_NEAR(four(rectangular(std::sqrt(3)), 1, 1, 1).expanded().u95, 3.92, 0.005);
  const double half = std::sqrt(3);
  const auto drawn = propagated(kDraws, [&](Random& random) {
    double sum = 0;
    for (int i = 0; i < 4; ++i) sum += rectangle(random, -half, half);
    return sum;
  });
  EXPECT_NEAR(drawn.u, 2.0, 0.01);
  EXPECT_NEAR(drawn.low, -3.88, 0.02);
  EXPECT_NEAR(drawn.high, 3.88, 0.02);
}

// JCGM 101, 9.2.4, table 4: one rectangle ten times as wide: u = 10.1; linear -19.9 to 19.9, drawn -17.0 to
// 17.0.
TEST(MonteCarlo, AdditiveModelWithOneDominantRectangle) {
  const auto linear = four(1, 1, 1, 10).expanded();
  EXPECT_NEAR(linear.u, 10.1, 0.06);
  EXPECT_NEAR(linear.u95, 19.9, 0.05);
  const double half = std::sqrt(3);
  const auto drawn = propagated(kDraws, [&](Random& random) {
    double sum = rectangle(random, -10 * half, 10 * half);
    for (int i = 0; i < 3; ++i) sum += rectangle(random, -half, half);
    return sum;
  });
  EXPECT_NEAR(drawn.u, 10.1, 0.06);
  EXPECT_NEAR(drawn.low, -17.0, 0.06);
  EXPECT_NEAR(drawn.high, 17.0, 0.06);
}

// JCGM 101, 9.3, table 6: calibration of a mass of nominally 100 g, mg: drawn 1.234, u = 0.075,
// interval 1.083 to 1.383; linear to first order u = 0.054, 1.128 to 1.340: the buoyancy has no slope at the
// expected density.
TEST(MonteCarlo, MassCalibration) {
  Budget first_order;
  first_order.add("reference mass", 0.050).add("balance", 0.020);
  EXPECT_NEAR(first_order.expanded().u, 0.054, 0.0005);
  EXPECT_NEAR(1.234 - first_order.expanded().u95, 1.128, 0.001);
  EXPECT_NEAR(1.234 + first_order.expanded().u95, 1.340, 0.001);
  const auto drawn = propagated(kDraws, [](Random& random) {
    const double mass = normal(random, 100'000, 0.050), small = normal(random, 1.234, 0.020);
    const double air = rectangle(random, 1.10, 1.30), weight = rectangle(random, 7000, 9000);
    const double reference = rectangle(random, 7950, 8050);
    return (mass + small) * (1 + (air - 1.2) * (1 / weight - 1 / reference)) - 100'000;
  });
  EXPECT_NEAR(drawn.mean, 1.234, 0.001);
  EXPECT_NEAR(drawn.u, 0.0754, 0.0004);
  EXPECT_NEAR(drawn.low, 1.083, 0.002);
  EXPECT_NEAR(drawn.high, 1.383, 0.002);
}

// JCGM 100, H.2, table H.3: resistance and reactance from voltage, current and phase that err together:
// R = 127.732 with u = 0.071, X = 219.847 with u = 0.295, Z = 254.260 with u = 0.236 ohm.
TEST(MonteCarlo, ResistanceAndReactanceOfCorrelatedReadings) {
  constexpr std::array<double, 3> mean{4.9990, 19.6610e-3, 1.04446};  // V, A, rad
  constexpr std::array<double, 3> u{0.0032, 0.0095e-3, 0.00075};
  constexpr double vi = -0.36, vp = 0.86, ip = -0.65;
  // Lower triangle of the correlations' square root.
  const double l22 = std::sqrt(1 - vi * vi), l32 = (ip - vp * vi) / l22;
  const double l33 = std::sqrt(1 - vp * vp - l32 * l32);
  const auto spread = [&](double (*of)(double, double, double)) {
    return propagated(kDraws, [&, of](Random& random) {
      const double a = normal(random, 0, 1), b = normal(random, 0, 1), c = normal(random, 0, 1);
      return of(mean[0] + u[0] * a, mean[1] + u[1] * (vi * a + l22 * b),
                mean[2] + u[2] * (vp * a + l32 * b + l33 * c));
    });
  };
  const auto r = spread([](double v, double i, double p) { return v / i * std::cos(p); });
  const auto x = spread([](double v, double i, double p) { return v / i * std::sin(p); });
  const auto z = spread([](double v, double i, double) { return v / i; });
  EXPECT_NEAR(r.mean, 127.732, 0.005);
  EXPECT_NEAR(r.u, 0.071, 0.002);
  EXPECT_NEAR(x.mean, 219.847, 0.005);
  EXPECT_NEAR(x.u, 0.295, 0.003);
  EXPECT_NEAR(z.mean, 254.260, 0.005);
  EXPECT_NEAR(z.u, 0.236, 0.003);
}
