// Square markers of the two dictionaries the card may carry, found in a small copy of the picture.
#pragma once

#include <array>
#include <vector>

#include "vision/picture_pixels.hpp"
#include "vision/plane.hpp"

namespace spile::vision {

struct Marker {
  int id = 0;
  std::array<Point2, 4>
      corners;  // full-resolution pixels, good to a pixel or two; clockwise from the top left
  [[nodiscard]] Point2 middle() const { return (corners[0] + corners[1] + corners[2] + corners[3]) / 4; }
  [[nodiscard]] double side() const;  // longest, px
};

enum class MarkerFamily { Aruco4x4, AprilTag36h11 };

struct MarkersSeen {
  MarkerFamily family = MarkerFamily::Aruco4x4;
  std::vector<Marker> markers;
};

// The printed cells of a marker, its black border included: CV_8UC1, 0 black, 1 white.
[[nodiscard]] cv::Mat marker_cells(MarkerFamily family, int id);

// Markers with ids 0 to 3 of ArUco 4x4_50 or AprilTag 36h11 at one level of the pyramid; of the two
// dictionaries the one with more of them.
enum class Level { Quarter, Half, Full };
[[nodiscard]] MarkersSeen find_markers(const Picture::Pixels& pixels, Level level);

}  // namespace spile::vision
