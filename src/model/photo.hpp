// An original picture, kept byte for byte under its hash, and the places in the logbook that use it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "model/ids.hpp"

namespace spile::model {

struct Photo {
  PhotoId id;
  std::string sha256;         // 64 lower-case hex digits; the vault file's name
  std::string original_name;  // file name only, never a path
  std::string media_type;     // image/jpeg, image/png, image/tiff, image/webp, image/heic
  std::int64_t bytes = 0;
  int width_px = 0;  // upright, EXIF orientation applied
  int height_px = 0;
  int exif_orientation = 1;  // 1..8 as stored in the file
  std::string taken_at;      // local time as the camera wrote it, ISO 8601 without zone; empty: not known
  std::string camera;        // make and model, or empty
  std::optional<double> focal_35mm;  // focal length in 35 mm equivalent, from EXIF
  std::string imported_at;           // UTC
};

// A photo filed in a survey, with an opening or (until somebody says which) without.
struct PhotoUse {
  PhotoUseId id;
  PhotoId photo;
  SurveyId survey;
  std::optional<OpeningId> opening;
  std::string caption;
  std::string finding;  // the measuring engine's last answer in one line, e.g. a refusal's reason
};

}  // namespace spile::model
