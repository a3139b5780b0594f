// Files to luma and chroma, still as stored. One decode each; nothing is turned here but HEIC and TIFF, whose
// readers do it by themselves.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/picture_header.hpp"

namespace spile::vision {

struct Planes {
  cv::Mat grey;         // CV_8UC1
  cv::Mat cb, cr;       // CV_8UC1, half size rounded up
  bool turned = false;  // the reader has applied the file's orientation already
};

// Nothing when the file's pixels cannot be read.
[[nodiscard]] std::optional<Planes> decode_planes(Bytes bytes, FileKind kind);

}  // namespace spile::vision
