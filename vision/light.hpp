// Linear light out of coded grey values: lens blur adds up in light, not in the numbers a JPEG stores, so
// edges are located in light (coded values read the dark side too small by about 0.6 blur widths). Transfer
// function: IEC 61966-2-1 (sRGB). Light is 0..1, coded values 0..255.
#pragma once

#include <opencv2/core.hpp>

namespace spile::vision {

[[nodiscard]] double light_from_coded(double coded);
[[nodiscard]] double coded_from_light(double light);
// d coded / d light: turns an error in light into one in coded values, where a camera's noise is about even.
[[nodiscard]] double coded_slope(double light);

// Bilinear reading of an 8-bit grey picture in light; shares the picture's pixels.
class LightView {
 public:
  explicit LightView(const cv::Mat& grey) : grey_(grey) {}
  [[nodiscard]] bool holds(double x, double y) const {
    return x >= 0 && y >= 0 && x < grey_.cols - 1 && y < grey_.rows - 1;
  }
  // Undefined outside holds().
  [[nodiscard]] float at(double x, double y) const;
  [[nodiscard]] const cv::Mat& grey() const { return grey_; }

 private:
  cv::Mat grey_;
};

}  // namespace spile::vision
