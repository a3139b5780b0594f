#include "develop.hpp"

#include <cassert>
#include <cmath>
#include <exiv2/exiv2.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <string>

#include "noise.hpp"

namespace spile::scenes {

namespace {

constexpr int kCurveSteps = 8192;

// Linear light to coded values of 0..255, tone curve included.
std::vector<float> curve(double tone) {
  std::vector<float> table(kCurveSteps + 2);
  for (int i = 0; i <= kCurveSteps + 1; ++i) {
    const double v = srgb(std::min(1.0, static_cast<double>(i) / kCurveSteps));
    const double s = v * v * (3 - 2 * v);
    table[static_cast<std::size_t>(i)] = static_cast<float>(255 * (v + tone * (s - v)));
  }
  return table;
}

void code(cv::Mat& light, const Camera& camera) {
  const std::vector<float> table = curve(camera.tone);
  const float gain[] = {static_cast<float>(1 - camera.warmth), 1.0F, static_cast<float>(1 + camera.warmth)};
  const float cx = static_cast<float>(light.cols - 1) / 2, cy = static_cast<float>(light.rows - 1) / 2;
  const float corner = cx * cx + cy * cy;
  const auto loss = static_cast<float>(camera.vignetting);
  cv::parallel_for_({0, light.rows}, [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y) {
      auto* p = light.ptr<float>(y);
      const float dy = static_cast<float>(y) - cy;
      for (int x = 0; x < light.cols; ++x, p += 3) {
        const float dx = static_cast<float>(x) - cx;
        const float open = (1 - loss * (dx * dx + dy * dy) / corner) * kCurveSteps;
        for (int c = 0; c < 3; ++c) {
          // Linear between the table's points; the darkest step of the sRGB curve is straight anyway.
          const float at = std::min(p[c] * gain[c] * open, static_cast<float>(kCurveSteps));
          const auto i = static_cast<std::size_t>(at);
          p[c] = table[i] + (table[i + 1] - table[i]) * (at - static_cast<float>(i));
        }
      }
    }
  });
}

void add_noise(cv::Mat& coded, const Camera& camera) {
  if (camera.noise <= 0) return;
  cv::Mat noise(coded.size(), CV_16SC3);
  cv::RNG rng(camera.seed * 0x9E3779B97F4A7C15ULL + 1);
  constexpr double kFine = 64;  // steps of 1/64 grey level
  rng.fill(noise, cv::RNG::NORMAL, 0, camera.noise * kFine);
  cv::parallel_for_({0, coded.rows}, [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y) {
      auto* p = coded.ptr<float>(y);
      const auto* n = noise.ptr<std::int16_t>(y);
      for (int i = 0; i < coded.cols * 3; ++i)
        p[i] += static_cast<float>(n[i]) * static_cast<float>(1 / kFine);
    }
  });
}

void sharpen(cv::Mat& coded, double amount) {
  if (amount <= 0) return;
  cv::Mat soft;
  cv::GaussianBlur(coded, soft, {}, 1.2);
  cv::addWeighted(coded, 1 + amount, soft, -amount, 0, coded);
}

// So that turning by the tag gives the upright picture back (Exif 2.3, tag 0x0112).
cv::Mat stored(const cv::Mat& upright, int orientation) {
  cv::Mat raster = upright;
  if (orientation == 3) cv::rotate(upright, raster, cv::ROTATE_180);
  if (orientation == 6) cv::rotate(upright, raster, cv::ROTATE_90_COUNTERCLOCKWISE);
  if (orientation == 8) cv::rotate(upright, raster, cv::ROTATE_90_CLOCKWISE);
  return raster;
}

Exiv2::ExifData exif(const Camera& camera) {
  Exiv2::ExifData data;
  data["Exif.Image.Make"] = "Testcam";
  data["Exif.Image.Model"] = "Testcam S1";
  data["Exif.Image.Software"] = "spile-scenes, invented picture";
  data["Exif.Image.Orientation"] = static_cast<std::uint16_t>(camera.exif_orientation);
  if (!camera.taken_at.empty()) {
    std::string stamp = camera.taken_at.substr(0, 19);  // 2026-04-12T10:21:05 -> 2026:04:12 10:21:05
    stamp[4] = stamp[7] = ':';
    stamp[10] = ' ';
    data["Exif.Photo.DateTimeOriginal"] = stamp;
    data["Exif.Image.DateTime"] = stamp;
  }
  if (camera.focal_35mm)
    data["Exif.Photo.FocalLengthIn35mmFilm"] = static_cast<std::uint16_t>(std::lround(*camera.focal_35mm));
  return data;
}

}  // namespace

double srgb(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

cv::Mat develop(const cv::Mat& light, const Camera& camera) {
  cv::Mat image;
  if (camera.blur_px > 0)
    cv::GaussianBlur(light, image, {}, camera.blur_px, camera.blur_px, cv::BORDER_REPLICATE);
  else
    image = light.clone();
  code(image, camera);
  add_noise(image, camera);
  sharpen(image, camera.sharpening);
  cv::Mat finished;
  image.convertTo(finished, CV_8UC3);
  return finished;
}

std::vector<std::uint8_t> encode(const cv::Mat& upright, const Camera& camera) {
  assert((camera.taken_at.empty() || camera.taken_at.size() >= 19) &&
         "taken_at is empty or a full date and time");
  std::vector<std::uint8_t> jpeg;
  cv::imencode(".jpg", stored(upright, camera.exif_orientation), jpeg,
               {cv::IMWRITE_JPEG_QUALITY, camera.jpeg_quality, cv::IMWRITE_JPEG_OPTIMIZE, 1});
  const auto image = Exiv2::ImageFactory::open(jpeg.data(), static_cast<long>(jpeg.size()));
  image->readMetadata();
  image->setExifData(exif(camera));
  image->writeMetadata();
  Exiv2::BasicIo& io = image->io();
  io.open();
  const Exiv2::DataBuf whole = io.read(static_cast<long>(io.size()));
  return {whole.pData_, whole.pData_ + whole.size_};
}

}  // namespace spile::scenes
