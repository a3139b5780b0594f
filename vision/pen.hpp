// Lines and labels drawn over a picture, seen on any hull; for this folder only. Coordinates are pixels of
// the canvas. The letters are plain ASCII.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "vision/measure.hpp"

namespace spile::vision {

// As in the window (gui/LOOK.md), B, G, R: sky blue for what gives the scale, yellow for what was found, rose
// for what a person placed; over all of it a dark halo.
inline const cv::Scalar kScaleColour(240, 198, 57), kFoundColour(63, 210, 255), kHandColour(198, 122, 255);
// Kinds of change: cracks as what is found; the others each their own.
inline const cv::Scalar kStainColour(92, 160, 255), kChipColour(190, 230, 120), kOtherColour(255, 190, 205);
inline const cv::Scalar kTextColour(255, 255, 255), kWarnColour(90, 190, 255), kDark(28, 24, 16);

class Pen {
 public:
  // Widths go by the canvas's longer side, or by that of the picture it is a part of.
  explicit Pen(cv::Mat& canvas, int side = 0);

  void polyline(const std::vector<PixelPoint>& points, bool closed, const cv::Scalar& colour);
  // Pairs of ends, faint, so that what lies below stays visible.
  void grid(const std::vector<PixelPoint>& ends);
  void cross(const PixelPoint& p, const cv::Scalar& colour);
  // Lines of text below each other, their middle at `p`, kept within the picture and off other labels.
  void label(const PixelPoint& p, const std::vector<std::string>& lines, const cv::Scalar& ink = kTextColour);
  // A sentence broken into lines that fit the picture.
  [[nodiscard]] std::vector<std::string> wrapped(const std::string& sentence) const;

 private:
  [[nodiscard]] int pen() const;

  cv::Mat& canvas_;
  int width_ = 1;
  double text_ = 1;
  std::vector<cv::Rect> plates_;
};

// What of the text the letters can show.
[[nodiscard]] std::string plain(const std::string& text);

}  // namespace spile::vision
