#include "flat_disc.hpp"

#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "scenes/develop.hpp"

namespace spile::accuracy {

namespace {

constexpr double kFocalPx = 3000, kDistanceMm = 300;  // 10 px to the mm square on
constexpr double kRadians = std::numbers::pi / 180;
constexpr int kSamples = 16;  // a side of a pixel that the edge crosses

vision::Plane plane_of(const FlatDisc& disc, cv::Size size) {
  vision::Plane plane;
  const double a = disc.azimuth_deg * kRadians;
  const Eigen::AngleAxisd tilt(disc.tilt_deg * kRadians, vision::Point3(std::cos(a), std::sin(a), 0));
  // x to the right, y up, z towards the camera; the camera looks along +z with y down.
  plane.rotation = tilt * Eigen::AngleAxisd(std::numbers::pi, vision::Point3::UnitX());
  plane.origin = vision::Point3(0, 0, kDistanceMm);
  plane.focal_px = kFocalPx;
  plane.centre = vision::Point2(0.5 * (size.width - 1), 0.5 * (size.height - 1));
  return plane;
}

// Millimetres in the plane from pixels about the middle.
Eigen::Matrix3d mm_from_px(const vision::Plane& plane) {
  Eigen::Matrix3d px_from_mm;
  px_from_mm << plane.rotation.col(0), plane.rotation.col(1), plane.origin;
  px_from_mm.topRows<2>() *= kFocalPx;
  return px_from_mm.inverse();
}

}  // namespace

FlatDiscPicture drawn(const FlatDisc& disc) {
  const int side = static_cast<int>(std::ceil(2 * disc.radius_px * 1.12)) + 60;
  const cv::Size size(side, side);
  FlatDiscPicture out;
  out.plane = plane_of(disc, size);
  const double square_on = kDistanceMm / kFocalPx;
  out.centre_mm = square_on * vision::Point2(disc.off_x, disc.off_y);
  const auto at = out.plane.px_from_mm(vision::Point3(out.centre_mm.x(), out.centre_mm.y(), 0));
  const Eigen::Matrix3d h = mm_from_px(out.plane);
  const vision::Point2 middle = out.plane.centre;
  const auto plane_at = [&](double x, double y) -> vision::Point2 {
    return (h * vision::Point3(x - middle.x(), y - middle.y(), 1)).hnormalized();
  };
  const vision::Point2 u = plane_at(at.x() + 0.5, at.y()) - plane_at(at.x() - 0.5, at.y());
  const vision::Point2 v = plane_at(at.x(), at.y() + 0.5) - plane_at(at.x(), at.y() - 0.5);
  out.mm_per_px = std::sqrt(std::abs(u.x() * v.y() - u.y() * v.x()));
  out.radius_mm = disc.radius_px * out.mm_per_px;
  const auto outside = [&](double x, double y) {
    return (plane_at(x, y) - out.centre_mm).norm() - out.radius_mm;
  };
  cv::Mat light(size, CV_32FC3);
  for (int y = 0; y < side; ++y)
    for (int x = 0; x < side; ++x) {
      const double away = outside(x, y);
      double share = away > 0 ? 1 : 0;  // of the plane
      if (std::abs(away) < 2 * square_on) {
        share = 0;
        for (int i = 0; i < kSamples; ++i)
          for (int j = 0; j < kSamples; ++j)
            share += outside(x + (i + 0.5) / kSamples - 0.5, y + (j + 0.5) / kSamples - 0.5) > 0 ? 1 : 0;
        share /= kSamples * kSamples;
      }
      light.at<cv::Vec3f>(y, x) =
          cv::Vec3f::all(static_cast<float>(disc.dark + share * (disc.light - disc.dark)));
    }
  scenes::Camera camera;
  camera.width_px = camera.height_px = side;
  camera.blur_px = disc.blur_px;
  camera.noise = disc.noise;
  camera.jpeg_quality = disc.jpeg_quality;
  camera.vignetting = camera.sharpening = camera.tone = 0;
  camera.seed = disc.seed;
  out.grey = cv::imdecode(scenes::encode(scenes::develop(light, camera), camera), cv::IMREAD_GRAYSCALE);
  return out;
}

}  // namespace spile::accuracy
