#include "db/disk.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <system_error>

namespace spile::db {
namespace {

[[noreturn]] void fail_with_errno() {
  throw std::system_error(errno, std::generic_category());
}

}  // namespace

FileHandle::FileHandle(const std::filesystem::path& path, int flags, unsigned int mode)
    : fd_(::open(path.c_str(), flags | O_CLOEXEC, mode)) {
  if (fd_ < 0) fail_with_errno();
}

FileHandle& FileHandle::operator=(FileHandle&& other) noexcept {
  std::swap(fd_, other.fd_);
  return *this;
}

FileHandle::~FileHandle() {
  if (fd_ >= 0) ::close(fd_);
}

void write_all(int fd, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const auto n = ::write(fd, bytes.data(), bytes.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) fail_with_errno();
    bytes = bytes.subspan(static_cast<std::size_t>(n));
  }
}

void sync_file(int fd) {
  if (::fsync(fd) != 0) fail_with_errno();
}

void sync_folder(const std::filesystem::path& folder) {
  const FileHandle handle(folder, O_RDONLY | O_DIRECTORY);
  // Some network disks refuse to sync a folder; they order their own renames.
  if (::fsync(handle.get()) != 0 && errno != EINVAL && errno != ENOTSUP) fail_with_errno();
}

std::vector<std::uint8_t> read_at_most(const std::filesystem::path& file, std::uint64_t limit) {
  const FileHandle handle(file, O_RDONLY);
  std::vector<std::uint8_t> bytes;
  constexpr std::uint64_t kChunk = 1 << 20;
  while (bytes.size() < limit) {
    const auto before = bytes.size();
    bytes.resize(before + static_cast<std::size_t>(std::min<std::uint64_t>(kChunk, limit - before)));
    auto n = ::read(handle.get(), bytes.data() + before, bytes.size() - before);
    const bool again = n < 0 && errno == EINTR;
    if (n < 0 && !again) fail_with_errno();
    bytes.resize(before + static_cast<std::size_t>(again ? 0 : n));
    if (n == 0) break;
  }
  return bytes;
}

void write_whole(const std::filesystem::path& temporary, const std::filesystem::path& target,
                 std::span<const std::uint8_t> bytes) {
  try {
    {
      const FileHandle handle(temporary, O_WRONLY | O_CREAT | O_TRUNC);
      write_all(handle.get(), bytes);
      sync_file(handle.get());
    }
    std::filesystem::rename(temporary, target);
    sync_folder(target.parent_path());
  } catch (...) {
    remove_quietly(temporary);
    throw;
  }
}

void remove_quietly(const std::filesystem::path& path) noexcept {
  std::error_code ignored;
  std::filesystem::remove(path, ignored);
}

}  // namespace spile::db
