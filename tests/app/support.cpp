#include "support.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "report/card.hpp"

namespace spile::app::test {

namespace fs = std::filesystem;

TempFolder::TempFolder() {
  std::string name = (fs::temp_directory_path() / "spile-test-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
  path_ = name;
}

TempFolder::~TempFolder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

Clock standing_clock() {
  return Clock::stopped_at(kNow);
}

namespace {

constexpr int kWidth = 1600;
constexpr int kHeight = 1000;
constexpr double kPaper = 0.95;
constexpr double kInk = 0.01;
constexpr double kBore = 0.004;

// How much of the pixel [at, at + 1] lies between `from` and `to`.
double covered(double at, double from, double to) {
  return std::max(0.0, std::min(at + 1, to) - std::max(at, from));
}

// Blended in linear light, where a camera's pixels average.
void fill(cv::Mat1f& light, double left_mm, double top_mm, double right_mm, double bottom_mm, double value) {
  const double k = kPixelsPerMm;
  for (int y = std::max(0, static_cast<int>(top_mm * k)); y < kHeight && y <= bottom_mm * k; ++y) {
    for (int x = std::max(0, static_cast<int>(left_mm * k)); x < kWidth && x <= right_mm * k; ++x) {
      const double share = covered(x, left_mm * k, right_mm * k) * covered(y, top_mm * k, bottom_mm * k);
      light(y, x) = static_cast<float>(light(y, x) * (1 - share) + value * share);
    }
  }
}

void draw_marker(cv::Mat1f& light, std::uint16_t cells, double x_mm, double y_mm, double side_mm) {
  const double cell = side_mm / report::kMarkerCellsAcross;
  const double left = x_mm - side_mm / 2;
  const double top = y_mm - side_mm / 2;
  fill(light, left, top, left + side_mm, top + side_mm, kInk);
  for (int i = 0; i < 16; ++i) {
    if (((cells >> (15 - i)) & 1) == 0) continue;
    const double x = left + (1 + i % 4) * cell;
    const double y = top + (1 + i / 4) * cell;
    fill(light, x, y, x + cell, y + cell, kPaper);
  }
}

void draw_card(cv::Mat1f& light) {
  fill(light, 1, 14, 99, 86, kPaper);
  const std::array<std::pair<double, double>, 4> centres = {{{15, 27.5}, {85, 27.5}, {85, 72.5}, {15, 72.5}}};
  for (std::size_t i = 0; i < 4; ++i)
    draw_marker(light, report::kMarkerCells.at(i), centres.at(i).first, centres.at(i).second, 20);
}

void draw_hole(cv::Mat1f& light, double diameter_mm) {
  const double radius = diameter_mm / 2 * kPixelsPerMm;
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const double inside = radius - std::hypot(x - kHoleCentre.x, y - kHoleCentre.y);
      const double share = std::clamp(inside + 0.5, 0.0, 1.0);
      light(y, x) = static_cast<float>(light(y, x) * (1 - share) + kBore * share);
    }
  }
}

// The sRGB tone curve (IEC 61966-2-1), as cameras write JPEG and PNG.
float encoded(float light) {
  return light <= 0.0031308F ? 12.92F * light : 1.055F * std::pow(light, 1 / 2.4F) - 0.055F;
}

}  // namespace

fs::path draw(const fs::path& file, const Scene& scene) {
  cv::Mat1f light(kHeight, kWidth, static_cast<float>(scene.shade));
  if (scene.card) draw_card(light);
  if (scene.hole_mm > 0) draw_hole(light, scene.hole_mm);
  cv::GaussianBlur(light, light, cv::Size(), 0.9);
  cv::Mat1f noise(light.size());
  cv::RNG random(7);
  random.fill(noise, cv::RNG::NORMAL, 0, 0.004);
  cv::Mat3b picture(light.size());
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const float value = 255 * (encoded(std::max(0.0F, light(y, x))) + noise(y, x));
      picture(y, x) = cv::Vec3b::all(cv::saturate_cast<std::uint8_t>(value));
    }
  }
  if (!cv::imwrite(file.string(), picture)) throw std::runtime_error("could not write " + file.string());
  return file;
}

void write_text(const fs::path& file, const std::string& bytes) {
  std::ofstream out(file, std::ios::binary);
  out << bytes;
  if (!out.flush()) throw std::runtime_error("could not write " + file.string());
}

std::string read_text(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

Session logbook_with_opening(const fs::path& folder, const std::string& tag) {
  auto session = must(Session::create(folder, standing_clock()));
  model::Vessel vessel;
  vessel.name = "Marsh Heron";
  vessel.length_mm = 9800;
  vessel.construction = model::HullConstruction::SingleSkin;
  must(session.save_vessel(vessel));
  model::Opening opening;
  opening.tag = tag;
  opening.height_mm = -180;
  static_cast<void>(must(session.save_opening(opening)));
  return session;
}

model::OpeningId id_of(const Session& session, const std::string& tag) {
  const auto* view = session.snapshot().find(tag);
  if (view == nullptr) throw std::runtime_error("no opening " + tag);
  return view->opening.id;
}

}  // namespace spile::app::test
