// From gathered light to the file a phone would write.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <vector>

#include "photo.hpp"

namespace spile::scenes {

// `light`: CV_32FC3, B, G, R, linear. Returns 8-bit BGR, upright.
[[nodiscard]] cv::Mat develop(const cv::Mat& light, const Camera& camera);

// JPEG with EXIF; the raster is stored as `exif_orientation` says.
[[nodiscard]] std::vector<std::uint8_t> encode(const cv::Mat& upright, const Camera& camera);

// The sRGB coding of a linear value, 0..1 (IEC 61966-2-1).
[[nodiscard]] double srgb(double linear);

}  // namespace spile::scenes
