// Linear light out of coded grey values: lens blur adds up in light, not in the numbers a JPEG stores, so
// edges are located in light (coded values read the dark side too small by about 0.6 blur widths). Transfer
// function: IEC 61966-2-1 (sRGB). Light is 0..1, coded values 0..255.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <opencv2/core.hpp>

namespace spile::vision {

[[nodiscard]] double light_from_coded(double coded);
[[nodiscard]] double coded_from_light(double light);
// d coded / d light: turns an error in light into one in coded values, where a camera's noise is about even.
[[nodiscard]] double coded_slope(double light);

// Both at once by table, for inner loops: coded values good to 0.01, slopes to 0.5 %. Light is held within
// 0..1, and for the slope above 0.003, where noise has its floor.
class Coder {
 public:
  struct At {
    double coded = 0, slope = 0;
  };
  [[nodiscard]] At at(double light) const {
    const double place = std::sqrt(std::clamp(light, 0.0, 1.0)) * kSize;
    const auto i = static_cast<std::size_t>(place);
    const double f = place - static_cast<double>(i);
    const At &low = table_[i], &high = table_[i + 1];
    return {low.coded + f * (high.coded - low.coded), low.slope + f * (high.slope - low.slope)};
  }
  [[nodiscard]] static const Coder& table();

 private:
  // Over the square root of light, where the curve is nearly straight.
  static constexpr std::size_t kSize = 1024;
  Coder();
  std::array<At, kSize + 2> table_;
};

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
