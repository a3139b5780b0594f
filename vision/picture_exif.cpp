#include "vision/picture_exif.hpp"

#include <algorithm>
#include <cmath>
#include <exiv2/exiv2.hpp>
#include <mutex>

namespace spile::vision {
namespace {

// exiv2's XMP toolkit keeps global state, and its log would speak to the terminal.
std::mutex& exiv2_mutex() {
  static std::mutex mutex;
  static const bool quiet = [] {
    Exiv2::LogMsg::setLevel(Exiv2::LogMsg::mute);
    return Exiv2::XmpParser::initialize();
  }();
  (void)quiet;
  return mutex;
}

std::string text_of(const Exiv2::ExifData& exif, const char* key) {
  const auto it = exif.findKey(Exiv2::ExifKey(key));
  if (it == exif.end()) return {};
  std::string text = it->toString();
  while (!text.empty() && (text.back() == ' ' || text.back() == '\0')) text.pop_back();
  return text;
}

std::optional<double> number_of(const Exiv2::ExifData& exif, const char* key) {
  const auto it = exif.findKey(Exiv2::ExifKey(key));
  if (it == exif.end() || it->count() == 0) return std::nullopt;
  const double value = static_cast<double>(it->toFloat());
  if (!std::isfinite(value) || value <= 0) return std::nullopt;
  return value;
}

// "2026:04:12 09:30:00" -> "2026-04-12T09:30:00"; anything else is not a date.
std::string iso_time(std::string text) {
  if (text.size() < 19 || text[4] != ':' || text[7] != ':' || text[10] != ' ' || text[0] == '0') return {};
  text.resize(19);
  text[4] = text[7] = '-';
  text[10] = 'T';
  return text;
}

std::string camera_name(const std::string& make, const std::string& model) {
  if (make.empty() || model.rfind(make, 0) == 0) return model;
  return model.empty() ? make : make + " " + model;
}

void fill(const Exiv2::ExifData& exif, PictureInfo& info) {
  const auto orientation = number_of(exif, "Exif.Image.Orientation");
  if (orientation && *orientation <= 8) info.exif_orientation = static_cast<int>(*orientation);
  info.taken_at = iso_time(text_of(exif, "Exif.Photo.DateTimeOriginal"));
  if (info.taken_at.empty()) info.taken_at = iso_time(text_of(exif, "Exif.Image.DateTime"));
  info.camera = camera_name(text_of(exif, "Exif.Image.Make"), text_of(exif, "Exif.Image.Model"));
  info.focal_mm = number_of(exif, "Exif.Photo.FocalLength");
  info.focal_35mm = number_of(exif, "Exif.Photo.FocalLengthIn35mmFilm");
  // 0 says that there was no zoom, as 1 does (EXIF 2.32, tag 0xA404).
  info.digital_zoom = std::max(1.0, number_of(exif, "Exif.Photo.DigitalZoomRatio").value_or(1));
}

}  // namespace

std::optional<PictureInfo> read_header(Bytes bytes) {
  const std::lock_guard lock(exiv2_mutex());
  try {
    const auto image = Exiv2::ImageFactory::open(bytes.data(), static_cast<long>(bytes.size()));
    if (!image.get()) return std::nullopt;
    image->readMetadata();
    PictureInfo info;
    info.width_px = static_cast<int>(image->pixelWidth());
    info.height_px = static_cast<int>(image->pixelHeight());
    fill(image->exifData(), info);
    if (info.width_px <= 0 || info.height_px <= 0) return std::nullopt;
    return info;
  } catch (const std::exception&) {
    return std::nullopt;
  }
}

void read_exif_block(Bytes tiff, PictureInfo& info) {
  const std::lock_guard lock(exiv2_mutex());
  try {
    Exiv2::ExifData exif;
    Exiv2::ExifParser::decode(exif, tiff.data(), static_cast<std::uint32_t>(tiff.size()));
    fill(exif, info);
  } catch (const std::exception&) {
    info.focal_35mm.reset();
  }
}

std::optional<double> focal_in_pixels(const PictureInfo& info) {
  constexpr double kFrameDiagonalMm = 43.2666;
  if (!info.focal_35mm || *info.focal_35mm < 8 || *info.focal_35mm > 600) return std::nullopt;
  return *info.focal_35mm / kFrameDiagonalMm * std::hypot(info.width_px, info.height_px);
}

}  // namespace spile::vision
