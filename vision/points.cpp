#include "vision/points.hpp"

#include <cmath>
#include <vector>

#include "vision/tilts.hpp"

namespace spile::vision {
namespace {

// People hold the camera square to within a dozen degrees, and now and then of thirty.
constexpr double kTiltSine = 0.22;
constexpr double kHeldSine = 1e-3;  // the tilt is carried by planes of its own, not by the covariance
constexpr double kOffHullMm = 0.4;  // what the points were marked on, against the hull beside the opening
constexpr double kMinPx = 20;

bool in_frame(const PixelPoint& p, const Picture::Pixels& pixels) {
  return p.x >= -0.5 && p.y >= -0.5 && p.x <= pixels.grey.cols - 0.5 && p.y <= pixels.grey.rows - 0.5;
}

}  // namespace

Expected<FoundReference> place_points(const Picture::Pixels& pixels, const PointsReference& points,
                                      double placed_px) {
  if (!(points.length_mm > 0) || !in_frame(points.a, pixels) || !in_frame(points.b, pixels)) {
    return refuse("no-reference", "The two points need a length, and both must lie in the photo.");
  }
  const Point2 a(points.a.x, points.a.y), b(points.b.x, points.b.y);
  if ((b - a).norm() < kMinPx) {
    return refuse("reference-too-small",
                  "The two points are too close together. Choose two that lie further apart.");
  }
  const CameraPrior prior = camera_prior(pixels.info);
  Plane camera;
  camera.focal_px = prior.focal_px;
  camera.k1 = prior.k1;
  camera.k2 = prior.k2;
  camera.centre = prior.centre;
  const Plane square_on = planes_through(a, b, points.length_mm, camera, kTiltSine).front().plane;
  const double half = points.length_mm / 2;
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd&) {
    Eigen::VectorXd r(6);
    r << (plane.px_from_mm(Point3(-half, 0, 0)) - a) / placed_px,
        (plane.px_from_mm(Point3(half, 0, 0)) - b) / placed_px, plane.rotation(0, 2) / kHeldSine,
        plane.rotation(1, 2) / kHeldSine;
    return r;
  };
  const PlaneFit fit = fit_plane(square_on, prior, residuals, {}, {},
                                 std::vector<ResidualGroup>{{"points placed by hand", 4}, {"tilt held", 2}});
  FoundReference out;
  out.kind = "points";
  out.plane = fit.plane;
  std::erase_if(out.plane.shares, [](const Plane::Share& share) { return share.term == "tilt held"; });
  out.planes = planes_through(a, b, points.length_mm, fit.plane, kTiltSine);
  out.u_height_mm = kOffHullMm;
  out.outline = {points.a, points.b};
  out.by_hand = true;
  out.warnings.push_back(
      "Two points give the scale in one direction only, and the camera's tilt is told by the roundness of "
      "the "
      "hole at best: the interval is wide. The printed card or a steel rule gives a closer one.");
  return out;
}

}  // namespace spile::vision
