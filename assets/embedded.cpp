#include "assets/embedded.hpp"

#include <algorithm>
#include <cassert>

#include "embedded_index.hpp"

namespace spile::assets {

namespace {
const IndexEntry* find(std::string_view path) {
  const auto* end = kIndex + kIndexSize;
  const auto* hit = std::find_if(kIndex, end, [&](const IndexEntry& e) { return e.path == path; });
  return hit == end ? nullptr : hit;
}
}  // namespace

std::span<const std::uint8_t> bytes(std::string_view path) {
  const IndexEntry* entry = find(path);
  assert(entry && "asset not compiled in: check its path and assets/CMakeLists.txt");
  return {entry->begin, static_cast<std::size_t>(entry->end - entry->begin)};
}

std::string_view text(std::string_view path) {
  const auto data = bytes(path);
  return {reinterpret_cast<const char*>(data.data()), data.size()};
}

bool contains(std::string_view path) {
  return find(path) != nullptr;
}

std::vector<std::string_view> list(std::string_view prefix) {
  std::vector<std::string_view> paths;
  for (std::size_t i = 0; i < kIndexSize; ++i)
    if (kIndex[i].path.starts_with(prefix)) paths.push_back(kIndex[i].path);
  return paths;
}

}  // namespace spile::assets
