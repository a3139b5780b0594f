// The chessboard's inner corners: found in a small copy of the picture, refined in the full one. A corner
// between four squares is symmetric about its middle, so neither blur nor the tone curve shifts it.
#include <algorithm>
#include <limits>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/calibrate.hpp"
#include "vision/picture_pixels.hpp"

namespace spile::vision {
namespace {

using Corners = std::vector<cv::Point2f>;

struct Copy {
  const cv::Mat* grey = nullptr;
  float scale = 1, shift = 0;  // full = scale * copy + shift
};

// Small enough to be quick, large enough for squares a fortieth of the picture wide; then the next larger
// one.
std::vector<Copy> copies_of(const Picture::Pixels& pixels) {
  constexpr int kQuick = 700;
  std::vector<Copy> copies;
  if (pixels.quarter().cols >= kQuick) copies.push_back({&pixels.quarter(), 4, 1.5F});
  if (pixels.half().cols >= kQuick) copies.push_back({&pixels.half(), 2, 0.5F});
  if (copies.size() < 2) copies.push_back({&pixels.grey, 1, 0});
  return copies;
}

Corners found_in(const Copy& copy, const cv::Size& board) {
  Corners corners;
  const int flags = cv::CALIB_CB_NORMALIZE_IMAGE;
  if (!cv::findChessboardCornersSB(*copy.grey, board, corners, flags)) return {};
  for (cv::Point2f& c : corners) c = copy.scale * c + cv::Point2f(copy.shift, copy.shift);
  return corners;
}

float smallest_step(const Corners& corners, const BoardSize& board) {
  float smallest = std::numeric_limits<float>::max();
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const bool last = (i + 1) % static_cast<std::size_t>(board.across) == 0;
    if (!last) smallest = std::min(smallest, static_cast<float>(cv::norm(corners[i + 1] - corners[i])));
    const std::size_t below = i + static_cast<std::size_t>(board.across);
    if (below < corners.size())
      smallest = std::min(smallest, static_cast<float>(cv::norm(corners[below] - corners[i])));
  }
  return smallest;
}

// False where a corner runs away from where it was found.
bool refine(const cv::Mat& grey, const BoardSize& board, Corners& corners) {
  const float step = smallest_step(corners, board);
  const int reach = std::clamp(static_cast<int>(0.25F * step), 2, 14);
  const Corners rough = corners;
  cv::cornerSubPix(grey, corners, cv::Size(reach, reach), cv::Size(-1, -1),
                   cv::TermCriteria(cv::TermCriteria::EPS + cv::TermCriteria::COUNT, 60, 1e-3));
  for (std::size_t i = 0; i < corners.size(); ++i) {
    if (cv::norm(corners[i] - rough[i]) > 0.25 * static_cast<double>(step)) return false;
  }
  return true;
}

}  // namespace

BoardPhoto find_board(const Picture& picture, const BoardSize& board) {
  BoardPhoto photo{picture.name(), picture.info(), {}};
  const Picture::Pixels& pixels = picture.pixels();
  try {
    for (const Copy& copy : copies_of(pixels)) {
      Corners corners = found_in(copy, cv::Size(board.across, board.up));
      if (corners.empty() || !refine(pixels.grey, board, corners)) continue;
      for (const cv::Point2f& c : corners)
        photo.corners.push_back({static_cast<double>(c.x), static_cast<double>(c.y)});
      break;
    }
  } catch (const cv::Exception&) {
    photo.corners.clear();  // a picture it chokes on shows no board
  }
  return photo;
}

}  // namespace spile::vision
