// How a stored picture is turned to be seen upright.
#pragma once

#include <utility>

namespace spile::vision {

// EXIF 2.32, tag 0x0112: what must be done to the stored picture to see it upright; the transpose comes
// first.
struct Turn {
  bool transpose = false, mirror_x = false, mirror_y = false;
};

[[nodiscard]] inline Turn turn_of(int orientation) {
  const auto is = [orientation](int a, int b, int c, int d) {
    return orientation == a || orientation == b || orientation == c || orientation == d;
  };
  return {orientation >= 5, is(2, 3, 6, 7), is(3, 4, 7, 8)};
}

// Offsets from the middle of the picture.
inline void turn_upright(const Turn& turn, double& dx, double& dy) {
  if (turn.transpose) std::swap(dx, dy);
  if (turn.mirror_x) dx = -dx;
  if (turn.mirror_y) dy = -dy;
}
inline void turn_back(const Turn& turn, double& dx, double& dy) {
  if (turn.mirror_x) dx = -dx;
  if (turn.mirror_y) dy = -dy;
  if (turn.transpose) std::swap(dx, dy);
}

}  // namespace spile::vision
