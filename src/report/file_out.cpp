#include "report/file_out.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <utility>

namespace spile::report {

namespace {

tl::unexpected<Error> write_error(const std::filesystem::path& file, int code) {
  const std::string what = fmt::format("“{}” could not be written.", file.string());
  const std::string detail = std::strerror(code);
  switch (code) {
    case ENOSPC:
    case EDQUOT:
      return fail(ErrorCode::StorageFull, fmt::format("There is no room left to write “{}”.", file.string()),
                  "Free some space or choose another folder.", detail);
    case EROFS:
    case EACCES:
    case EPERM:
      return fail(ErrorCode::StorageReadOnly, what,
                  "You may not write there: choose another folder or change its permissions.", detail);
    case ENOENT:
    case ENOTDIR:
      return fail(ErrorCode::FileUnreadable, what,
                  "Its folder does not exist: make it first or choose another.", detail);
    default:
      return fail(ErrorCode::FileUnreadable, what, "Choose another place.", detail);
  }
}

class OpenFile {
 public:
  explicit OpenFile(int fd) : fd_(fd) {}
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile() {
    if (fd_ >= 0) ::close(fd_);
  }
  [[nodiscard]] int get() const { return fd_; }
  [[nodiscard]] bool close() { return ::close(std::exchange(fd_, -1)) == 0; }

 private:
  int fd_;
};

// 0, or the errno of what failed.
int write_and_sync(OpenFile& out, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t n = ::write(out.get(), bytes.data(), bytes.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return errno;
    bytes = bytes.subspan(static_cast<std::size_t>(n));
  }
  if (::fsync(out.get()) != 0) return errno;
  return out.close() ? 0 : errno;
}

}  // namespace

Result<void> write_whole(const std::filesystem::path& file, std::span<const std::uint8_t> bytes) {
  if (file.filename().empty() || std::filesystem::is_directory(file.lexically_normal()))
    return fail(ErrorCode::BadInput, fmt::format("“{}” is a folder, not a file.", file.string()),
                "Give the name of the PDF file to write.");
  std::string temporary = file.string() + ".XXXXXX";
  OpenFile out(::mkostemp(temporary.data(), O_CLOEXEC));
  if (out.get() < 0) return write_error(file, errno);
  int failed = write_and_sync(out, bytes);
  // mkostemp makes a file for its owner's eyes only; a report is handed on, so it gets the usual mode.
  const mode_t mask = ::umask(0);
  ::umask(mask);
  if (!failed && ::chmod(temporary.c_str(), 0666 & ~mask) != 0) failed = errno;
  if (!failed && ::rename(temporary.c_str(), file.c_str()) != 0) failed = errno;
  if (!failed) return {};
  ::unlink(temporary.c_str());
  return write_error(file, failed);
}

}  // namespace spile::report
