// A smooth map worked out at every sixteenth pixel and interpolated between them; for this folder only.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <opencv2/core.hpp>

namespace spile::vision {

// CV_32FC2 as cv::remap wants it. `at(x, y)` is asked a little beyond the edges too.
[[nodiscard]] cv::Mat interpolated_map(const cv::Size& size,
                                       const std::function<Eigen::Vector2d(double x, double y)>& at);

}  // namespace spile::vision
