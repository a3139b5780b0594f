// File operations that are on the disk when they return. Failures throw std::system_error.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <utility>
#include <vector>

namespace spile::db {

class FileHandle {
 public:
  FileHandle(const std::filesystem::path& path, int flags, unsigned int mode = 0644);
  explicit FileHandle(int descriptor) : fd_(descriptor) {}
  FileHandle(FileHandle&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
  FileHandle& operator=(FileHandle&& other) noexcept;
  ~FileHandle();
  [[nodiscard]] int get() const { return fd_; }

 private:
  int fd_ = -1;
};

void write_all(int fd, std::span<const std::uint8_t> bytes);
void sync_file(int fd);
void sync_folder(const std::filesystem::path& folder);
// Reads at most `limit` bytes; fewer when the file is shorter.
[[nodiscard]] std::vector<std::uint8_t> read_at_most(const std::filesystem::path& file, std::uint64_t limit);
// Written under `temporary`, synced, then renamed to `target` in the same folder: whole or not there at all.
void write_whole(const std::filesystem::path& temporary, const std::filesystem::path& target,
                 std::span<const std::uint8_t> bytes);
// Removes a file or an empty folder if it is there; never throws.
void remove_quietly(const std::filesystem::path& path) noexcept;

}  // namespace spile::db
