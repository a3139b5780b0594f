#include "vision/picture_header.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace spile::vision {
namespace {

bool has_text(Bytes bytes, std::size_t at, std::string_view text) {
  return bytes.size() >= at + text.size() &&
         std::equal(text.begin(), text.end(), bytes.begin() + static_cast<std::ptrdiff_t>(at),
                    [](char a, std::uint8_t b) { return static_cast<std::uint8_t>(a) == b; });
}

// Brands of still HEVC pictures (ISO/IEC 23008-12, annex B).
bool is_heic(Bytes bytes) {
  constexpr std::array<std::string_view, 6> kBrands{"heic", "heix", "heim", "heis", "mif1", "msf1"};
  return has_text(bytes, 4, "ftyp") &&
         std::any_of(kBrands.begin(), kBrands.end(), [&](auto brand) { return has_text(bytes, 8, brand); });
}

// Length-prefixed segments up to the scan, then an end-of-image marker: inside a scan FF is always stuffed,
// so FF D9 there can only be the end (ITU-T T.81, B.1.1.2).
bool jpeg_is_whole(Bytes bytes) {
  std::size_t at = 2;
  while (at + 4 <= bytes.size()) {
    if (bytes[at] != 0xFF) return false;
    const std::uint8_t marker = bytes[at + 1];
    if (marker == 0xFF) {
      ++at;
      continue;
    }
    const std::size_t length = static_cast<std::size_t>(bytes[at + 2]) * 256 + bytes[at + 3];
    if (marker == 0xDA) {
      constexpr std::array<std::uint8_t, 2> kEnd{0xFF, 0xD9};
      return std::search(bytes.begin() + static_cast<std::ptrdiff_t>(at), bytes.end(), kEnd.begin(),
                         kEnd.end()) != bytes.end();
    }
    at += 2 + std::max<std::size_t>(length, 2);
  }
  return false;
}

bool webp_is_whole(Bytes bytes) {
  if (bytes.size() < 12) return false;
  const std::size_t riff =
      bytes[4] | bytes[5] << 8 | bytes[6] << 16 | static_cast<std::size_t>(bytes[7]) << 24;
  return bytes.size() >= riff + 8;
}

bool png_is_whole(Bytes bytes) {
  constexpr std::string_view kEnd = "IEND";
  const auto tail = bytes.last(std::min<std::size_t>(bytes.size(), 64));
  return std::search(tail.begin(), tail.end(), kEnd.begin(), kEnd.end(),
                     [](std::uint8_t a, char b) { return a == static_cast<std::uint8_t>(b); }) != tail.end();
}

}  // namespace

FileKind file_kind(Bytes bytes) {
  if (has_text(bytes, 0, "\xFF\xD8\xFF")) return FileKind::Jpeg;
  if (has_text(bytes, 0, "\x89PNG\r\n\x1A\n")) return FileKind::Png;
  if (has_text(bytes, 0, std::string_view("II*\0", 4)) || has_text(bytes, 0, std::string_view("MM\0*", 4))) {
    return FileKind::Tiff;
  }
  if (has_text(bytes, 0, "RIFF") && has_text(bytes, 8, "WEBP")) return FileKind::WebP;
  return is_heic(bytes) ? FileKind::Heic : FileKind::Unknown;
}

const char* media_type(FileKind kind) {
  switch (kind) {
    case FileKind::Jpeg:
      return "image/jpeg";
    case FileKind::Png:
      return "image/png";
    case FileKind::Tiff:
      return "image/tiff";
    case FileKind::WebP:
      return "image/webp";
    case FileKind::Heic:
      return "image/heic";
    case FileKind::Unknown:
      break;
  }
  return "";
}

bool is_whole(Bytes bytes, FileKind kind) {
  switch (kind) {
    case FileKind::Jpeg:
      return jpeg_is_whole(bytes);
    case FileKind::Png:
      return png_is_whole(bytes);
    case FileKind::WebP:
      return webp_is_whole(bytes);
    default:
      return true;
  }
}

}  // namespace spile::vision
