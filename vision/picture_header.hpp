// What a picture file says of itself before any pixel is decoded: kind by magic bytes, and whether it is
// whole.
#pragma once

#include <cstdint>
#include <span>

namespace spile::vision {

enum class FileKind { Unknown, Jpeg, Png, Tiff, WebP, Heic };

using Bytes = std::span<const std::uint8_t>;

[[nodiscard]] FileKind file_kind(Bytes bytes);
[[nodiscard]] const char* media_type(FileKind kind);

// Whether the end of the file is there. OpenCV's readers fill what is missing with grey and say nothing.
// TIFF and HEIC keep no end mark: their readers refuse by themselves, so those count as whole here.
[[nodiscard]] bool is_whole(Bytes bytes, FileKind kind);

}  // namespace spile::vision
