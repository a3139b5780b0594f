// Thin edges of small copies of the picture, luma and colour together: what votes for circles.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/picture_pixels.hpp"

namespace spile::vision {

// A copy of the picture: full = scale * copy + shift.
struct Copy {
  cv::Mat grey, cb, cr;
  double scale = 1, shift = 0;
};

// The copy `factor` times smaller than the picture, out of the one twice as large where there is one (else
// `before` is empty): halves of halves are quick, and each pixel an even average.
[[nodiscard]] Copy copy_of(const Picture::Pixels& pixels, int factor, const Copy& before);

struct EdgePixel {
  float x = 0, y = 0, gx = 0, gy = 0;
};

// Pixels where the picture changes most across an edge, those under the mask `hidden` left out: the stronger
// 16 % of the copy at most. Gradients in units of a 3 by 3 Sobel on coded values.
[[nodiscard]] std::vector<EdgePixel> edges_of(const Copy& copy, const cv::Mat& hidden);

}  // namespace spile::vision
