#include "time_of_comparing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <opencv2/imgcodecs.hpp>

#include "least.hpp"
#include "scenes/photo.hpp"
#include "vision/compare.hpp"

namespace spile::bench {
namespace {

scenes::Scene hull(double crack_mm) {
  scenes::Scene scene;
  scene.hull = scenes::Hull::White;
  scene.seed = 41;
  scene.holes = {scenes::Hole{}};
  scene.cracks = {{-16, 18, 132, crack_mm, 0.5, 0.8}};
  scene.card = scenes::Card{};
  scene.card->x = 88;
  return scene;
}

scenes::Camera twelve_megapixels() {
  scenes::Camera camera;
  camera.width_px = 4032;
  camera.height_px = 3024;
  camera.focal_px = 3300;
  camera.focal_35mm = 28;
  camera.look_x = 46;
  camera.distance_mm = 300;
  camera.tilt_deg = 12;
  camera.azimuth_deg = 40;
  camera.blur_px = 1.2;
  return camera;
}

vision::Comparison compared(const TimedPair& pair) {
  const auto earlier = vision::Picture::decode(pair.earlier, "earlier");
  const auto later = vision::Picture::decode(pair.later, "later");
  return earlier && later ? vision::compare(*earlier, *later, {}) : vision::Comparison{};
}

}  // namespace

TimedPair made_pair() {
  scenes::Scene after = hull(22);
  after.stains = {{-8, 42, 11, 0.5}};
  after.card->x = 80;
  after.card->y = 12;
  after.card->turn_deg = 9;
  after.light = {0.88, 0.2, 250};
  scenes::Camera other = twelve_megapixels();
  other.azimuth_deg = 200;
  other.roll_deg = 14;
  other.warmth = 0.05;
  other.seed = 2;
  return {scenes::take(hull(8), twelve_megapixels()).jpeg, scenes::take(after, other).jpeg};
}

ComparingTime time_of_comparing(const TimedPair& pair, int rounds) {
  ComparingTime out;
  Least decode, compare;
  for (int round = 0; round < std::max(1, rounds); ++round) {
    decode.time([&] {
      out.megapixels = 1e-6 * static_cast<double>(cv::imdecode(pair.earlier, cv::IMREAD_COLOR).total());
      (void)cv::imdecode(pair.later, cv::IMREAD_COLOR);
    });
    compare.time([&] {
      const vision::Comparison found = compared(pair);
      out.outcome =
          found.refused ? found.refused->code : fmt::format("aligned, {} changes", found.changes.size());
    });
  }
  out.decode_ms = decode.wall_ms;
  out.compare_ms = compare.wall_ms;
  out.cpu_ratio = compare.cpu_ms / decode.cpu_ms;
  return out;
}

}  // namespace spile::bench
