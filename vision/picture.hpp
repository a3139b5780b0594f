// The one place that decodes photo files: magic-byte whitelist (JPEG, PNG, TIFF, WebP, HEIC), EXIF
// orientation applied, size bounded before any pixel is decoded. Cheap to copy; the pixels are shared and
// never change.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/camera_profile.hpp"
#include "outcome/outcome.hpp"

namespace spile::vision {

inline constexpr std::int64_t kMaxPixels = 200'000'000;

// What a file says of itself, read without decoding pixels.
struct PictureInfo {
  std::string media_type;
  int width_px = 0;   // upright
  int height_px = 0;  // upright
  int exif_orientation = 1;
  std::string taken_at;  // ISO 8601 local time, or empty
  std::string camera;
  std::optional<double> focal_mm;  // from EXIF
  std::optional<double> focal_35mm;
  double digital_zoom = 1;  // from EXIF; 1: none
  std::optional<double>
      focal_px;  // estimated focal length in pixels of the upright picture, from EXIF; absent: not known
  std::optional<model::CameraProfile> lens;  // the profile this picture is measured with; absent: assumed
};

// 8-bit RGBA rows, top to bottom, no padding: what a texture wants.
struct Rgba {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> pixels;
};

class Picture {
 public:
  // Errors: FileMissing, FileUnreadable, NotAnImage, ImageTooLarge, each naming the file and what to do.
  [[nodiscard]] static Result<PictureInfo> probe(std::span<const std::uint8_t> bytes,
                                                 const std::string& name);
  [[nodiscard]] static Result<Picture> decode(std::span<const std::uint8_t> bytes, const std::string& name);
  [[nodiscard]] static Result<Picture> load(const std::filesystem::path& file);

  [[nodiscard]] const PictureInfo& info() const;
  [[nodiscard]] const std::string& name() const;
  // The whole picture, no larger than `max_side` on its longer side (area-averaged).
  [[nodiscard]] Rgba view(int max_side) const;
  // A full-resolution tile, clipped to the picture.
  [[nodiscard]] Rgba tile(int x, int y, int width, int height) const;

  // The same picture, to be measured with the newest of the profiles that fits it, else with an assumed lens.
  [[nodiscard]] Picture with_lens_of(const std::vector<model::CameraProfile>& profiles) const;

  struct Pixels;  // OpenCV matrices; defined in vision/picture_pixels.hpp for this folder only
  [[nodiscard]] static Picture of(std::shared_ptr<const Pixels> pixels);
  [[nodiscard]] const Pixels& pixels() const { return *pixels_; }

 private:
  std::shared_ptr<const Pixels> pixels_;
};

// Reads a file whole, with the size bounded. Errors: FileMissing, FileUnreadable.
[[nodiscard]] Result<std::vector<std::uint8_t>> read_bytes(const std::filesystem::path& file);

}  // namespace spile::vision
