// What cv::HoughCircles and cv::fitEllipse say of a round thing whose place and size are roughly given. Both
// see one square picture in which it is centred and about kPlainRadius large.
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <optional>

namespace spile::bench {

inline constexpr double kPlainRadius = 160;  // px
inline constexpr int kPlainSide = 480;

struct PlainRadii {  // px of that picture
  std::optional<double> hough, ellipse;
};

// `grey`: kPlainSide square. The circle of cv::HoughCircles with most votes, strict first and then looser;
// and cv::fitEllipse, mean of the axes, on the outline that encloses the middle after Otsu's threshold.
[[nodiscard]] PlainRadii plain_radii(const cv::Mat& grey);

// Such a picture out of a photo: `photo_from_radii` tells where a point of it, in radii about the middle,
// lies in the photo.
[[nodiscard]] cv::Mat plain_view(const cv::Mat& grey,
                                 const std::function<cv::Point2d(double, double)>& photo_from_radii);

}  // namespace spile::bench
