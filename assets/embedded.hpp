// Files of assets/ compiled into the program, so that a binary alone is whole: tables, fonts, demo photos.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace spile::assets {

// By path below assets/, e.g. "tables/services.csv". Asserts that the file was compiled in: a missing one is
// a bug.
[[nodiscard]] std::span<const std::uint8_t> bytes(std::string_view path);
[[nodiscard]] std::string_view text(std::string_view path);
[[nodiscard]] bool contains(std::string_view path);
// Every path compiled in that starts with `prefix`, sorted.
[[nodiscard]] std::vector<std::string_view> list(std::string_view prefix);

}  // namespace spile::assets
