#include "app/picture_files.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <fstream>
#include <set>
#include <string>

namespace spile::app {

namespace {

namespace fs = std::filesystem;

char folded(char c) {
  return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// The run of digits at `at` without leading zeros; moves `at` past it.
std::string_view number_at(std::string_view text, std::size_t& at) {
  while (at < text.size() && text[at] == '0') ++at;
  const std::size_t first = at;
  while (at < text.size() && is_digit(text[at])) ++at;
  return text.substr(first, at - first);
}

constexpr std::size_t kHead = 12;

// First bytes as the formats' own specifications give them: JPEG (ISO/IEC 10918-1, SOI marker), PNG (W3C PNG,
// 5.2), TIFF 6.0 (byte order and 42), WebP (RIFF container), HEIF (ISO/IEC 23008-12, brands of the ftyp box).
bool starts_like_a_picture(std::string_view head) {
  using std::string_view_literals::operator""sv;
  if (head.starts_with("\xFF\xD8\xFF"sv) || head.starts_with("\x89PNG\r\n\x1A\n"sv)) return true;
  if (head.starts_with("II*\0"sv) || head.starts_with("MM\0*"sv)) return true;
  if (head.size() < kHead) return false;
  if (head.starts_with("RIFF"sv) && head.substr(8, 4) == "WEBP"sv) return true;
  constexpr std::array kBrands = {"heic"sv, "heix"sv, "heim"sv, "heis"sv, "hevc"sv, "mif1"sv, "msf1"sv};
  return head.substr(4, 4) == "ftyp"sv &&
         std::find(kBrands.begin(), kBrands.end(), head.substr(8, 4)) != kBrands.end();
}

bool claims_to_be_a_picture(const fs::path& file) {
  std::string extension = file.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(), folded);
  constexpr std::array kExtensions = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"};
  return std::find(kExtensions.begin(), kExtensions.end(), extension) != kExtensions.end();
}

bool is_picture(const fs::path& file) {
  std::array<char, kHead> head{};
  std::ifstream in(file, std::ios::binary);
  in.read(head.data(), head.size());
  return starts_like_a_picture({head.data(), static_cast<std::size_t>(in.gcount())}) ||
         claims_to_be_a_picture(file);
}

std::vector<fs::path> pictures_in(const fs::path& folder) {
  std::vector<fs::path> found;
  std::error_code failed;
  for (fs::directory_iterator it(folder, failed), end; !failed && it != end; it.increment(failed)) {
    std::error_code unknown;
    if (it->is_regular_file(unknown) && is_picture(it->path())) found.push_back(it->path());
  }
  std::sort(found.begin(), found.end(), [](const fs::path& a, const fs::path& b) {
    return natural_less(a.filename().string(), b.filename().string());
  });
  return found;
}

}  // namespace

bool natural_less(std::string_view a, std::string_view b) {
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < a.size() && j < b.size()) {
    if (is_digit(a[i]) && is_digit(b[j])) {
      const auto left = number_at(a, i);
      const auto right = number_at(b, j);
      if (left.size() != right.size()) return left.size() < right.size();
      if (left != right) return left < right;
      continue;
    }
    if (folded(a[i]) != folded(b[j])) return folded(a[i]) < folded(b[j]);
    ++i;
    ++j;
  }
  const std::size_t left = a.size() - i;
  const std::size_t right = b.size() - j;
  return left != right ? left < right : a < b;
}

std::vector<fs::path> picture_files(const std::vector<fs::path>& named) {
  std::vector<fs::path> files;
  std::set<fs::path> seen;
  const auto add = [&](const fs::path& file) {
    std::error_code unknown;
    const auto canonical = fs::weakly_canonical(file, unknown);
    if (seen.insert(unknown ? file : canonical).second) files.push_back(file);
  };
  for (const auto& path : named) {
    std::error_code unknown;
    if (!fs::is_directory(path, unknown)) {
      add(path);
      continue;
    }
    for (const auto& file : pictures_in(path)) add(file);
  }
  return files;
}

}  // namespace spile::app
