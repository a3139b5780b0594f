// The pixels behind a Picture, for this folder only: OpenCV stays inside. Everything is upright.
// One full decode to grey is kept with the file's own bytes; the pyramid and the colours are made when first
// asked for. Safe to call from several threads at once.
#pragma once

#include <mutex>
#include <opencv2/core.hpp>

#include "vision/picture.hpp"

namespace spile::vision {

struct Picture::Pixels {
  PictureInfo info;
  std::string name;
  std::vector<std::uint8_t> encoded;
  cv::Mat grey;  // CV_8UC1, sRGB-coded luma

  // Area-averaged: pixel (x, y) of the half covers (2x..2x+1, 2y..2y+1), so full = 2 * half + 0.5.
  [[nodiscard]] const cv::Mat& half() const;
  [[nodiscard]] const cv::Mat& quarter() const;  // full = 4 * quarter + 1.5
  // CV_8UC3, BGR. Decoded on the first call and kept: 3 bytes a pixel.
  [[nodiscard]] const cv::Mat& colour() const;

 private:
  mutable std::once_flag half_once_, quarter_once_, colour_once_;
  mutable cv::Mat half_, quarter_, colour_;
};

}  // namespace spile::vision
