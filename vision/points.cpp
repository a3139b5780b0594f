#include "vision/points.hpp"

#include <cmath>

namespace spile::vision {
namespace {

constexpr double kClickPx = 1.0;    // how well a person places a point, at the scale it is shown
constexpr double kTiltSine = 0.17;  // people hold the camera square to within about ten degrees
constexpr double kMinPx = 20;

bool in_frame(const PixelPoint& p, const Picture::Pixels& pixels) {
  return p.x >= -0.5 && p.y >= -0.5 && p.x <= pixels.grey.cols - 0.5 && p.y <= pixels.grey.rows - 0.5;
}

// Square to the camera's axis, at the distance that gives the length.
Plane square_on(const Point2& a, const Point2& b, double length_mm, const CameraPrior& prior) {
  const Point2 along = (b - a).normalized();
  Plane plane;
  plane.focal_px = prior.focal_px;
  plane.centre = prior.centre;
  plane.rotation.col(0) << along.x(), along.y(), 0;
  plane.rotation.col(1) << along.y(), -along.x(), 0;
  plane.rotation.col(2) << 0, 0, -1;
  const double distance = length_mm * prior.focal_px / (b - a).norm();
  const Point2 middle = (0.5 * (a + b) - prior.centre) / prior.focal_px;
  plane.origin << distance * middle.x(), distance * middle.y(), distance;
  return plane;
}

}  // namespace

Expected<FoundReference> place_points(const Picture::Pixels& pixels, const PointsReference& points) {
  if (!(points.length_mm > 0) || !in_frame(points.a, pixels) || !in_frame(points.b, pixels)) {
    return refuse("no-reference", "The two points need a length, and both must lie in the photo.");
  }
  const Point2 a(points.a.x, points.a.y), b(points.b.x, points.b.y);
  if ((b - a).norm() < kMinPx) {
    return refuse("reference-too-small",
                  "The two points are too close together. Choose two that lie further apart.");
  }
  const CameraPrior prior = camera_prior(pixels.info);
  const double half = points.length_mm / 2;
  const auto residuals = [&](const Plane& plane, const Eigen::VectorXd&) {
    Eigen::VectorXd r(6);
    r << (plane.px_from_mm(Point3(-half, 0, 0)) - a) / kClickPx,
        (plane.px_from_mm(Point3(half, 0, 0)) - b) / kClickPx, plane.rotation(0, 2) / kTiltSine,
        plane.rotation(1, 2) / kTiltSine;
    return r;
  };
  const PlaneFit fit =
      fit_plane(square_on(a, b, points.length_mm, prior), prior, residuals, {}, {},
                std::vector<ResidualGroup>{{"points placed by hand", 4}, {"tilt of the camera", 2}});
  FoundReference out;
  out.kind = "points";
  out.plane = fit.plane;
  out.outline = {points.a, points.b};
  out.by_hand = true;
  out.warnings.push_back("Two points give the scale in one direction only; the camera's tilt is a guess.");
  return out;
}

}  // namespace spile::vision
