// The rim of a hole, as the engine's edges give it, fitted by the GNU Scientific Library's nonlinear least
// squares and by cv::fitEllipse: the same points, other arithmetic.
#include <gsl/gsl_multifit_nlinear.h>
#include <gtest/gtest.h>

#include <memory>

#include "card_pixels.hpp"
#include "vision/rim.hpp"

namespace spile::external {
namespace {

using vision::Point2;

using Points = std::vector<Point2>;

// Distance of every point from the ellipse-like curve radius + c cos 2a + s sin 2a about a centre.
int misses(const gsl_vector* x, void* data, gsl_vector* out) {
  const auto& points = *static_cast<const Points*>(data);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double dx = points[i].x() - gsl_vector_get(x, 0), dy = points[i].y() - gsl_vector_get(x, 1);
    const double a = std::atan2(dy, dx);
    gsl_vector_set(out, i,
                   std::hypot(dx, dy) - gsl_vector_get(x, 2) - gsl_vector_get(x, 3) * std::cos(2 * a) -
                       gsl_vector_get(x, 4) * std::sin(2 * a));
  }
  return GSL_SUCCESS;
}

struct Round {
  Point2 centre;
  double radius = 0, oval = 0;
};

// Plain squares: the points given are the ones the engine kept.
Round by_gsl(Points points, const Point2& start, double radius) {
  constexpr std::size_t kUnknowns = 5;
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
  const std::unique_ptr<gsl_multifit_nlinear_workspace, void (*)(gsl_multifit_nlinear_workspace*)> work(
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, points.size(), kUnknowns),
      gsl_multifit_nlinear_free);
  gsl_multifit_nlinear_fdf system{};
  system.f = misses;
  system.n = points.size();
  system.p = kUnknowns;
  system.params = &points;
  std::array<double, kUnknowns> x{start.x(), start.y(), radius, 0, 0};
  const auto view = gsl_vector_view_array(x.data(), x.size());
  gsl_multifit_nlinear_init(&view.vector, &system, work.get());
  int info = 0;
  gsl_multifit_nlinear_driver(100, 1e-10, 1e-10, 0, nullptr, nullptr, &info, work.get());
  const gsl_vector* at = gsl_multifit_nlinear_position(work.get());
  return {{gsl_vector_get(at, 0), gsl_vector_get(at, 1)},
          gsl_vector_get(at, 2),
          std::hypot(gsl_vector_get(at, 3), gsl_vector_get(at, 4))};
}

TEST(RoundBeside, GslAndFitEllipseGiveTheSameCircleFromTheSameEdges) {
  for (const double tilt : {2.0, 20.0, 40.0}) {
    vision::testing::CardScene scene;
    scene.tilt_deg = tilt;
    const auto pixels = pixels_of(scene);
    const auto card = vision::find_card(*pixels, vision::CardReference{}, {});
    ASSERT_TRUE(card) << card.error().reason;
    const vision::ColourView view(*pixels);
    const vision::RimPlace place{view, card->plane, 0};
    const auto rim = vision::fine_rim(place, {{scene.hole_x, scene.hole_y}, scene.hole_mm / 2}, 0.05);
    ASSERT_TRUE(rim);
    Points points;
    std::vector<cv::Point2f> same;
    for (const auto& s : rim->samples) {
      if (!s.inlier) continue;
      points.push_back(s.mm);
      same.emplace_back(static_cast<float>(s.mm.x()), static_cast<float>(s.mm.y()));
    }
    ASSERT_GT(points.size(), 100u);
    const Round theirs = by_gsl(points, {scene.hole_x, scene.hole_y}, scene.hole_mm / 2);
    EXPECT_NEAR(rim->fit.radius, theirs.radius, 0.003) << tilt;
    EXPECT_NEAR(rim->fit.centre.x(), theirs.centre.x(), 0.003) << tilt;
    EXPECT_NEAR(rim->fit.centre.y(), theirs.centre.y(), 0.003) << tilt;
    EXPECT_NEAR(rim->fit.oval(), theirs.oval, 0.006) << tilt;
    const cv::RotatedRect ellipse = cv::fitEllipse(same);
    EXPECT_NEAR(2 * rim->fit.radius, 0.5 * static_cast<double>(ellipse.size.width + ellipse.size.height),
                0.01);
    EXPECT_NEAR(2 * rim->fit.radius, scene.hole_mm, 0.003 * scene.hole_mm) << "as drawn";
  }
}

}  // namespace
}  // namespace spile::external
