// A camera's lens out of photos of a printed chessboard: focal length, radial distortion and principal point
// with their uncertainties. The size of the squares does not matter: it moves the board nearer or further,
// not the lens. No files, no database, no screen.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/camera_profile.hpp"
#include "vision/measure.hpp"

namespace spile::vision {

// Corners where four squares meet: one less than there are squares. The printed board has 9 x 6.
struct BoardSize {
  int across = 9, up = 6;
  friend bool operator==(const BoardSize&, const BoardSize&) = default;
};
inline constexpr int kFewestCorners = 3, kMostCorners = 40;  // along either side

// One photo of the board. Corners are of the upright picture, row by row; none when no board was seen.
struct BoardPhoto {
  std::string name;
  PictureInfo info;
  std::vector<PixelPoint> corners;
};
[[nodiscard]] BoardPhoto find_board(const Picture& picture, const BoardSize& board);

struct CalibrationPhoto {
  std::string name;
  std::string left_out;               // why; empty when it was used
  double rms_px = 0;                  // of the corners about the model; 0 when no board was seen
  double tilt_deg = 0;                // of the camera's axis from the board's normal
  std::vector<PixelPoint> corners;    // of the picture as stored
  std::vector<PixelPoint> residuals;  // seen less computed, px, corner by corner
};

struct Calibration {
  std::optional<model::CameraProfile> profile;  // absent when refused; without id
  std::vector<CalibrationPhoto> photos;         // as they were given
  // no-camera, mixed-cameras, too-few-photos, same-direction, lens-not-held
  std::optional<Refusal> refused;
};

inline constexpr int kFewestBoardPhotos = 5;

// `date` is written into the profile.
[[nodiscard]] Calibration calibrate(const std::vector<BoardPhoto>& photos, const BoardSize& board,
                                    const std::string& date);

}  // namespace spile::vision
