// A strip of the reference's plane beside one side of the reference, seen square-on and in linear light,
// where a cut face is looked for; for this folder only.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/layers.hpp"
#include "vision/picture_pixels.hpp"
#include "vision/plane.hpp"

namespace spile::vision {

// Lengths in mm: u runs along the side, v away from the reference.
struct Band {
  Point2 origin = Point2::Zero(), u_axis = Point2::UnitX(), v_axis = Point2::UnitY();  // in the plane
  double step = 0.125;                                                                 // of the samples
  cv::Mat light;  // CV_32FC3, blue, green, red in linear light
  cv::Mat seen;   // CV_8UC1, 0 outside the picture
  [[nodiscard]] Point2 mm(double u, double v) const { return origin + u * u_axis + v * v_axis; }
  [[nodiscard]] double length() const { return step * light.cols; }
  [[nodiscard]] double depth() const { return step * light.rows; }
};

[[nodiscard]] Band cut_band(const Picture::Pixels& pixels, const Plane& plane, const Point2& origin,
                            const Point2& u_axis, const Point2& v_axis, double length, double depth,
                            double step);

// What is white in the light of this picture: the colour of the reference's bright half, green = 1.
[[nodiscard]] cv::Vec3f white_of(const Band& inside_reference);

[[nodiscard]] Tint tint_of(const cv::Vec3f& light, const cv::Vec3f& white);

// The line across the band that is the median over `height` mm at v, sheared so that it follows layers which
// lean by `lean` (du / dv).
[[nodiscard]] std::vector<Tint> line_across(const Band& band, const cv::Vec3f& white, double v, double height,
                                            double lean);

}  // namespace spile::vision
