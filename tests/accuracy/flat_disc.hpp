// A dark disc on a light plane, drawn from its closed form and not by the engine: light averaged over each
// pixel's face, blurred in light, coded by the sRGB curve (IEC 61966-2-1), with noise and JPEG. The plane it
// lies in is exactly known, so what is measured in it shows the method's own error and nothing else.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>

#include "vision/plane.hpp"

namespace spile::accuracy {

struct FlatDisc {
  double radius_px = 120;  // at the disc's centre: root of the area ratio
  double tilt_deg = 0, azimuth_deg = 0;
  double blur_px = 1.1;
  double noise = 2;  // coded values
  int jpeg_quality = 90;
  double dark = 0.02, light = 0.55;  // of the disc and of the plane, linear
  double off_x = 0.3, off_y = -0.2;  // of the disc's centre from the middle of the picture, px square on
  std::uint64_t seed = 1;
};

struct FlatDiscPicture {
  cv::Mat grey;         // CV_8UC1, decoded from the JPEG
  vision::Plane plane;  // exact
  vision::Point2 centre_mm;
  double radius_mm = 0, mm_per_px = 0;  // at the disc's centre
};

[[nodiscard]] FlatDiscPicture drawn(const FlatDisc& disc);

}  // namespace spile::accuracy
