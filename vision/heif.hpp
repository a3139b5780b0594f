// HEIC pictures by libheif, which applies the file's own rotation and mirroring.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/picture.hpp"
#include "vision/picture_header.hpp"

namespace spile::vision {

[[nodiscard]] std::optional<PictureInfo> read_heif_header(Bytes bytes);

// CV_8UC3, BGR, upright; empty when the file cannot be decoded.
[[nodiscard]] cv::Mat decode_heif(Bytes bytes);

}  // namespace spile::vision
