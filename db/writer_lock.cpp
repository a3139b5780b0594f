#include "db/writer_lock.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <map>
#include <mutex>
#include <sstream>
#include <system_error>

#include "db/fault.hpp"
#include "db/text.hpp"

namespace spile::db {
namespace {

using FileKey = std::pair<dev_t, ino_t>;

// Locks of this process by file. A forked child starts with a copy that is not its own, hence the process id.
struct Registry {
  std::mutex mutex;
  pid_t process = ::getpid();
  std::map<FileKey, std::weak_ptr<WriterLock>> locks;
};

Registry& registry() {
  static Registry instance;
  return instance;
}

FileKey key_of(int fd) {
  struct stat info {};
  if (::fstat(fd, &info) != 0) throw std::system_error(errno, std::generic_category());
  return {info.st_dev, info.st_ino};
}

std::string host_name() {
  std::array<char, 256> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? std::string(name.data()) : "this computer";
}

std::string holder_of(const std::filesystem::path& file) {
  const auto raw = read_at_most(file, 1024);
  std::istringstream text(valid_utf8(std::string(raw.begin(), raw.end())));
  std::string process, host, since;
  std::getline(text, process);
  std::getline(text, host);
  std::getline(text, since);
  if (process.empty() || host.empty() || since.empty()) return "another process";
  return fmt::format("process {} on {}, since {}", process, host, since);
}

void write_holder(int fd) {
  const auto text = fmt::format("{}\n{}\n{}\n", ::getpid(), host_name(), utc_now());
  if (::ftruncate(fd, 0) != 0) throw std::system_error(errno, std::generic_category());
  write_all(fd, {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

// Open-file-description locks: unlike the classic ones they are not lost when this process opens and closes
// the same file elsewhere.
bool try_lock(int fd) {
  struct flock request {};
  request.l_type = F_WRLCK;
  request.l_whence = SEEK_SET;
  if (::fcntl(fd, F_OFD_SETLK, &request) == 0) return true;
  if (errno == EAGAIN || errno == EACCES) return false;
  throw std::system_error(errno, std::generic_category());
}

}  // namespace

WriterLock::WriterLock(FileHandle file) : file_(std::move(file)) {}

WriterLock::~WriterLock() {
  // The file stays, empty: removing it would let a third process lock a file that a second one still waits
  // for.
  [[maybe_unused]] const int ignored = ::ftruncate(file_.get(), 0);
}

WriterLock::Acquired WriterLock::acquire(const std::filesystem::path& folder) {
  auto& known = registry();
  const std::lock_guard guard(known.mutex);
  if (known.process != ::getpid()) {
    known.locks.clear();
    known.process = ::getpid();
  }
  const auto path = folder / kLockFile;
  FileHandle file(path, O_RDWR | O_CREAT);
  const auto key = key_of(file.get());
  if (auto held = known.locks[key].lock()) return {held, false};
  if (!try_lock(file.get())) {
    raise(ErrorCode::LogbookBusy,
          fmt::format("{} is open for writing elsewhere ({}).", shown(folder), holder_of(path)),
          "Close it there, or open it here to read only.");
  }
  write_holder(file.get());
  auto lock = std::make_shared<WriterLock>(std::move(file));
  known.locks[key] = lock;
  return {lock, true};
}

}  // namespace spile::db
