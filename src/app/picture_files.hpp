// Which files a person meant by what was dropped or named: pictures by their first bytes, never by extension.
#pragma once

#include <filesystem>
#include <string_view>
#include <vector>

namespace spile::app {

// "IMG_9" before "IMG_10"; letters without regard to case, then as bytes.
[[nodiscard]] bool natural_less(std::string_view a, std::string_view b);

// Files stand as they are. A folder gives the pictures that lie directly in it, in natural order: files whose
// first bytes are a picture's, and files that only claim to be one by their extension (so that a broken photo
// is told, not lost). A file named twice comes once.
[[nodiscard]] std::vector<std::filesystem::path> picture_files(
    const std::vector<std::filesystem::path>& named);

}  // namespace spile::app
