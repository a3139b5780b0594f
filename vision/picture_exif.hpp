// Size, orientation, date, camera and focal length out of a file's header, by exiv2.
#pragma once

#include <optional>

#include "vision/picture.hpp"
#include "vision/picture_header.hpp"

namespace spile::vision {

// Stored size and EXIF of a JPEG, PNG, TIFF or WebP file; nothing when the header cannot be read. Width and
// height are as stored, `focal_px` is left open.
[[nodiscard]] std::optional<PictureInfo> read_header(Bytes bytes);

// Fills date, camera and focal length from a bare EXIF block (as HEIC files carry it).
void read_exif_block(Bytes tiff, PictureInfo& info);

// Focal length in pixels from the 35 mm equivalent, which is defined over the picture's diagonal
// (from memory: CIPA DCG-001; the 36 x 24 mm frame's diagonal is 43.27 mm).
[[nodiscard]] std::optional<double> focal_in_pixels(const PictureInfo& info);

}  // namespace spile::vision
