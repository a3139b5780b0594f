// Photos of a drawn chessboard by a camera whose lens is known.
#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "scenes/photo.hpp"
#include "vision/calibrate.hpp"

namespace spile::vision::test {

struct BoardScenes {
  scenes::Camera camera;       // the lens, above all
  double tilt_deg = 30;        // of the tilted ones
  bool to_the_corners = true;  // with the board towards each corner of the picture
  double square_mm = 20;
  std::uint64_t seed = 1;
};

inline scenes::Camera board_camera(double k1) {
  scenes::Camera camera;
  camera.width_px = 816;
  camera.height_px = 612;
  camera.focal_px = 700;
  camera.k1 = k1;
  camera.focal_35mm = 30;
  camera.blur_px = 0.8;
  camera.noise = 2;
  return camera;
}

inline Picture decoded(const std::vector<std::uint8_t>& jpeg, const std::string& name) {
  auto picture = Picture::decode(jpeg, name);
  if (!picture) throw std::runtime_error(picture.error().sentence());
  return *picture;
}

struct NamedJpeg {
  std::string name;
  std::vector<std::uint8_t> bytes;
};

// Eight tilted views all round, and one square on.
inline std::vector<NamedJpeg> board_jpegs(const BoardScenes& wanted) {
  std::vector<NamedJpeg> photos;
  scenes::Scene scene;
  scene.seed = wanted.seed;
  scene.board.emplace();
  scene.board->square_mm = wanted.square_mm;
  for (int i = 0; i < 9; ++i) {
    scenes::Camera camera = wanted.camera;
    camera.seed = wanted.seed * 100 + static_cast<std::uint64_t>(i);
    camera.tilt_deg = i == 8 ? 1 : wanted.tilt_deg;
    camera.azimuth_deg = 45.0 * i + 10;
    camera.roll_deg = 20.0 * i;
    camera.distance_mm = 18 * wanted.square_mm;
    const double away = wanted.to_the_corners && i < 8 ? 2.2 * wanted.square_mm : 0;
    camera.look_x = i % 2 == 0 ? away : -away;
    camera.look_y = i % 4 < 2 ? 0.7 * away : -0.7 * away;
    photos.push_back({"board_" + std::to_string(i) + ".jpg", scenes::take(scene, camera).jpeg});
  }
  return photos;
}

// Drawn once: the photos most tests calibrate from.
inline const std::vector<NamedJpeg>& usual_board_jpegs() {
  static const std::vector<NamedJpeg> photos = board_jpegs({board_camera(-0.12)});
  return photos;
}

inline std::vector<Picture> board_photos(const BoardScenes& wanted) {
  std::vector<Picture> photos;
  for (const auto& [name, bytes] : board_jpegs(wanted)) photos.push_back(decoded(bytes, name));
  return photos;
}

// A hole beside the card by the same camera, towards the picture's corners where the lens matters.
inline scenes::Photo hole_photo(const scenes::Camera& lens) {
  scenes::Scene scene;
  scene.holes.push_back({});
  scene.holes.front().x = 60;
  scene.holes.front().y = 35;
  scene.holes.front().diameter_mm = 38;
  scene.card.emplace();
  scene.card->x = -45;
  scene.card->y = -30;
  scenes::Camera camera = lens;
  camera.distance_mm = 240;
  camera.tilt_deg = 12;
  return scenes::take(scene, camera);
}

inline std::vector<BoardPhoto> boards_in(const std::vector<Picture>& photos, const BoardSize& board = {}) {
  std::vector<BoardPhoto> seen;
  for (const Picture& photo : photos) seen.push_back(find_board(photo, board));
  return seen;
}

}  // namespace spile::vision::test
