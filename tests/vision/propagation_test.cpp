// The linear budget of a hole's diameter against propagation of distributions (JCGM 101:2008) through the
// same value function: plane, height and print scale drawn from what the reference says of itself.
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <opencv2/core.hpp>

#include "card_scene.hpp"
#include "metrology/monte_carlo.hpp"
#include "vision/card.hpp"
#include "vision/hole_report.hpp"

namespace spile::vision {
namespace {

using metrology::testing::propagated;
using metrology::testing::Random;

FoundReference card_seen(const testing::CardScene& scene) {
  const cv::Mat picture = testing::drawn(scene);
  Picture::Pixels pixels;
  cv::cvtColor(picture, pixels.grey, cv::COLOR_BGR2GRAY);
  pixels.info.width_px = picture.cols;
  pixels.info.height_px = picture.rows;
  pixels.info.focal_px = scene.focal;
  auto found = find_card(pixels, CardReference{}, {});
  EXPECT_TRUE(found) << found.error().reason;
  return *found;
}

// A rim drilled exactly where the plane as found says.
FineRim rim_of(const FoundReference& reference, const Point2& centre, double diameter_mm) {
  FineRim rim;
  rim.fit.centre = centre;
  rim.fit.radius = diameter_mm / 2;
  for (int k = 0; k < 120; ++k) {
    RimSample sample;
    sample.angle = 2 * M_PI * k / 120;
    sample.mm = rim.fit.at(sample.angle);
    sample.px = reference.plane.px_from_mm(Point3(sample.mm.x(), sample.mm.y(), reference.hull_z()));
    sample.inlier = true;
    rim.samples.push_back(sample);
  }
  return rim;
}

// A square root of the covariance of all shares together.
Plane::Matrix root_of(const Plane::Matrix& covariance) {
  const Plane::Vector scale = covariance.diagonal().cwiseMax(1e-30).cwiseSqrt();
  const Plane::Matrix correlation =
      scale.cwiseInverse().asDiagonal() * covariance * scale.cwiseInverse().asDiagonal();
  const Eigen::SelfAdjointEigenSolver<Plane::Matrix> solver(correlation);
  return scale.asDiagonal() * solver.eigenvectors() *
         solver.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal();
}

double linear_u(const FoundReference& reference, const FineRim& rim) {
  const auto value = [&](const Plane& plane, double z) { return diameter_in(rim, plane, z); };
  double square = 0;
  for (const LengthTerm& term : reference_terms(reference, value)) square += term.u * term.u;
  return std::sqrt(square);
}

metrology::testing::Drawn drawn_u(const FoundReference& reference, const FineRim& rim) {
  const Plane::Matrix root = root_of(reference.plane.covariance());
  std::normal_distribution<double> normal(0, 1);
  return propagated(40'000, [&](Random& random) {
    Plane::Vector change;
    for (Eigen::Index i = 0; i < change.size(); ++i) change[i] = normal(random);
    const Plane plane = reference.plane.moved(root * change);
    const double z = reference.hull_z() + reference.u_height_mm * normal(random);
    double scale = 1;
    for (const ScaleDoubt& doubt : reference.scale_doubts) scale += doubt.rel_u * normal(random);
    return scale * diameter_in(rim, plane, z);
  });
}

struct Case {
  double tilt_deg = 0, hole_mm = 38, away_mm = 76;
};

class Propagation : public ::testing::TestWithParam<Case> {};

// JCGM 101, clause 8: the linear method stands where it and the drawn one state the same. Seen from square in
// front a tilt works to second order only, which the linear method leaves out: there the drawn interval is
// allowed to lie a quarter of the standard uncertainty away.
TEST_P(Propagation, OfTheDiameterIsLinearEnough) {
  testing::CardScene scene;
  scene.tilt_deg = GetParam().tilt_deg;
  const FoundReference reference = card_seen(scene);
  const FineRim rim = rim_of(reference, {GetParam().away_mm, 8}, GetParam().hole_mm);
  const double u = linear_u(reference, rim);
  const auto drawn = drawn_u(reference, rim);
  const bool square_on = GetParam().tilt_deg < 5;
  const double rel = square_on ? 0.08 : 0.03;  // 40 000 draws tell 2 %
  EXPECT_NEAR(drawn.u, u, rel * u);
  EXPECT_NEAR(drawn.half_width(), 1.96 * u, rel * 1.96 * u);
  EXPECT_NEAR(drawn.mean, GetParam().hole_mm, (square_on ? 0.25 : 0.1) * u);
}

INSTANTIATE_TEST_SUITE_P(Tilts, Propagation,
                         ::testing::Values(Case{0, 38, 76}, Case{2, 38, 76}, Case{20, 38, 76},
                                           Case{40, 38, 76}, Case{20, 12, 60}, Case{35, 70, 95}));

}  // namespace
}  // namespace spile::vision
