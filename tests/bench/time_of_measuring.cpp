#include "time_of_measuring.hpp"

#include <fmt/format.h>
#include <malloc.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <optional>

#include "least.hpp"
#include "scenes/photo.hpp"
#include "vision/measure.hpp"

namespace spile::bench {
namespace {

vision::Report measured(const TimedPicture& picture) {
  vision::Request request;
  request.reference = vision::CardReference{};
  request.subject = vision::Subject::Hole;
  const auto decoded = vision::Picture::decode(picture.bytes, picture.name);
  return decoded ? vision::measure(*decoded, request) : vision::Report{};
}

std::string outcome_of(const vision::Report& report) {
  if (report.refused) return report.refused->code;
  if (report.holes.empty()) return "nothing";
  return fmt::format("{:.2f} mm", report.holes.front().diameter_mm);
}

scenes::Camera twelve_megapixels() {
  scenes::Camera camera;
  camera.width_px = 4032;
  camera.height_px = 3024;
  camera.focal_px = 3300;
  camera.focal_35mm = 28;
  camera.look_x = 46;
  camera.distance_mm = 300;
  camera.tilt_deg = 18;
  camera.azimuth_deg = 130;
  camera.roll_deg = 8;
  camera.blur_px = 1.2;
  return camera;
}

scenes::Scene hole_beside_card(scenes::Hull hull) {
  scenes::Scene scene;
  scene.hull = hull;
  scene.seed = 12;
  scene.holes = {scenes::Hole{}};
  scene.card = scenes::Card{};
  scene.card->x = 88;
  return scene;
}

// VmRSS or VmHWM of /proc/self/status, bytes.
std::optional<double> held_now(const std::string& key) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.rfind(key + ":", 0) == 0) return 1024 * std::strtod(line.c_str() + key.size() + 1, nullptr);
  }
  return std::nullopt;
}

}  // namespace

std::vector<TimedPicture> made_pictures() {
  scenes::Camera clean = twelve_megapixels();
  scenes::Camera busy = clean;
  busy.noise = 5;
  busy.sharpening = 0.6;
  busy.jpeg_quality = 92;
  return {{"clean", scenes::take(hole_beside_card(scenes::Hull::White), clean).jpeg},
          {"busy", scenes::take(hole_beside_card(scenes::Hull::BareLaminate), busy).jpeg}};
}

MeasuringTime time_of_measuring(const TimedPicture& picture, int rounds) {
  MeasuringTime out;
  out.name = picture.name;
  Least decode, measure;
  for (int round = 0; round < std::max(1, rounds); ++round) {
    decode.time([&] {
      const cv::Mat colour = cv::imdecode(picture.bytes, cv::IMREAD_COLOR);
      out.megapixels = 1e-6 * static_cast<double>(colour.total());
    });
    measure.time([&] { out.outcome = outcome_of(measured(picture)); });
  }
  out.decode_ms = decode.wall_ms;
  out.measure_ms = measure.wall_ms;
  out.cpu_ratio = measure.cpu_ms / decode.cpu_ms;
  return out;
}

double memory_of_measuring(const TimedPicture& picture) {
  malloc_trim(0);                                 // memory freed before must not hide what is asked for now
  std::ofstream("/proc/self/clear_refs") << "5";  // forgets the peak so far: proc(5)
  const auto before = held_now("VmRSS");
  (void)measured(picture);
  const auto peak = held_now("VmHWM");
  return before && peak ? 1e-6 * (*peak - *before) : 0;
}

}  // namespace spile::bench
