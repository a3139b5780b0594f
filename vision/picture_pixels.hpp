// The pixels behind a Picture, for this folder only: OpenCV stays inside. Everything is upright.
// Kept as JPEG stores them, luma in full and chroma at half size, so that one cheap decode serves both
// measuring and showing (1.5 bytes a pixel). Safe to call from several threads at once.
#pragma once

#include <mutex>
#include <opencv2/core.hpp>

#include "vision/picture.hpp"

namespace spile::vision {

struct Picture::Pixels {
  PictureInfo info;
  std::string name;
  cv::Mat grey;    // CV_8UC1, sRGB-coded luma (ITU-R BT.601 weights, full range, as JFIF has it)
  cv::Mat cb, cr;  // CV_8UC1, 128 = no colour, (cols + 1) / 2 by (rows + 1) / 2: full = 2 * half + 0.5

  // Area-averaged luma: full = 2 * half + 0.5 and full = 4 * quarter + 1.5. Made when first asked for.
  [[nodiscard]] const cv::Mat& half() const;
  [[nodiscard]] const cv::Mat& quarter() const;
  // CV_8UC3, BGR, of a part of the picture, made anew each time.
  [[nodiscard]] cv::Mat colour(const cv::Rect& part) const;
  [[nodiscard]] cv::Mat colour() const { return colour(cv::Rect(0, 0, grey.cols, grey.rows)); }

 private:
  mutable std::once_flag half_once_, quarter_once_;
  mutable cv::Mat half_, quarter_;
};

}  // namespace spile::vision
