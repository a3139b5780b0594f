#include "db/vault.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <system_error>

#include "db/disk.hpp"
#include "db/fault.hpp"
#include "db/log_file.hpp"
#include "db/sha256.hpp"

namespace spile::db {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kUnfinishedSuffix = ".part";

struct Kept {
  std::string_view media_type;
  std::string_view extension;
};
constexpr std::array kKept{Kept{"image/jpeg", "jpg"}, Kept{"image/png", "png"}, Kept{"image/tiff", "tif"},
                           Kept{"image/webp", "webp"}, Kept{"image/heic", "heic"}};

// Unlike any other in this process or beside it: two imports of one photo must not write into one file.
fs::path temporary_beside(const fs::path& target) {
  static std::atomic<unsigned> counter{0};
  return target.parent_path() /
         fmt::format(".{}.{}.{}{}", target.filename().string(), ::getpid(), ++counter, kUnfinishedSuffix);
}

bool is_sha256(std::string_view text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

std::string promised_hash(const fs::path& file) {
  auto stem = file.stem().string();
  auto extension = file.extension().string();
  const bool kept = std::any_of(kKept.begin(), kKept.end(),
                                [&](const Kept& k) { return extension == fmt::format(".{}", k.extension); });
  const bool in_place = is_sha256(stem) && file.parent_path().filename() == stem.substr(0, 2);
  return kept && in_place ? stem : std::string();
}

}  // namespace

fs::path vault_path(const fs::path& folder, std::string_view sha256, std::string_view media_type) {
  const auto* const kept =
      std::find_if(kKept.begin(), kKept.end(), [&](const Kept& k) { return k.media_type == media_type; });
  if (kept == kKept.end()) {
    raise(ErrorCode::BadInput,
          fmt::format("A picture of the type {} cannot be kept in a logbook.",
                      media_type.empty() ? "unknown" : media_type),
          "Save it as JPEG, PNG, TIFF, WebP or HEIC first.");
  }
  return folder / kPhotosFolder / sha256.substr(0, 2) / fmt::format("{}.{}", sha256, kept->extension);
}

bool put_original(const fs::path& target, std::string_view sha256, std::span<const std::uint8_t> bytes) {
  if (fs::exists(target) && sha256_of_file(target) == sha256) return false;
  const auto drawer = target.parent_path();
  if (fs::create_directory(drawer.parent_path())) sync_folder(drawer.parent_path().parent_path());
  if (fs::create_directory(drawer)) sync_folder(drawer.parent_path());
  write_whole(temporary_beside(target), target, bytes);
  return true;
}

std::vector<VaultFile> list_vault(const fs::path& folder) {
  std::vector<VaultFile> files;
  const auto vault = folder / kPhotosFolder;
  if (!fs::is_directory(vault)) return files;
  for (const auto& entry : fs::recursive_directory_iterator(vault)) {
    if (entry.is_directory()) continue;
    const auto name = entry.path().filename().string();
    files.push_back({entry.path(), name.starts_with('.') && name.ends_with(kUnfinishedSuffix),
                     promised_hash(entry.path())});
  }
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  return files;
}

std::string sha256_of_file(const fs::path& file) {
  const FileHandle handle(file, O_RDONLY);
  std::vector<std::uint8_t> piece(std::size_t{1} << 20U);
  Sha256 hash;
  for (;;) {
    const auto n = ::read(handle.get(), piece.data(), piece.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) throw std::system_error(errno, std::generic_category());
    if (n == 0) return hash.hex();
    hash.add(std::span(piece).first(static_cast<std::size_t>(n)));
  }
}

}  // namespace spile::db
