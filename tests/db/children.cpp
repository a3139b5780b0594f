#include "children.hpp"

#include <sched.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/mount.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <exception>
#include <filesystem>
#include <stdexcept>
#include <vector>

namespace spile::db::test {
namespace {

void write_text(int fd, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const auto n = ::write(fd, text.data() + done, text.size() - done);
    if (n <= 0) ::_exit(9);
    done += static_cast<std::size_t>(n);
  }
}

std::string read_some(int fd) {
  std::array<char, 4096> piece{};
  const auto n = ::read(fd, piece.data(), piece.size());
  return n > 0 ? std::string(piece.data(), static_cast<std::size_t>(n)) : std::string();
}

std::string guarded(const std::function<std::string()>& work) {
  try {
    return work();
  } catch (const std::exception& e) {
    return std::string("threw: ") + e.what();
  }
}

struct Forked {
  pid_t process;
  int read_end;
};

// The child never comes back from here.
Forked fork_with_pipe(const std::function<void(int)>& child) {
  std::array<int, 2> ends{};
  if (::pipe(ends.data()) != 0) throw std::runtime_error("no pipe");
  const auto process = ::fork();
  if (process < 0) throw std::runtime_error("no process");
  if (process == 0) {
    ::close(ends[0]);
    child(ends[1]);
    ::_exit(0);
  }
  ::close(ends[1]);
  return {process, ends[0]};
}

}  // namespace

std::string in_child(const std::function<std::string()>& work) {
  const auto [process, read_end] = fork_with_pipe([&](int out) { write_text(out, guarded(work)); });
  std::string told;
  for (auto piece = read_some(read_end); !piece.empty(); piece = read_some(read_end)) told += piece;
  ::close(read_end);
  int status = 0;
  ::waitpid(process, &status, 0);
  if (WIFSIGNALED(status)) told += " died of signal " + std::to_string(WTERMSIG(status));
  return told;
}

std::string in_child_without_rights(const std::function<std::string()>& work) {
  return in_child([&]() -> std::string {
    constexpr uid_t kNobody = 65534;
    if (::getuid() == 0 &&
        (::setresgid(kNobody, kNobody, kNobody) != 0 || ::setresuid(kNobody, kNobody, kNobody) != 0))
      return "could not give up the rights";
    return work();
  });
}

std::string in_child_on_small_disk(int kilobytes,
                                   const std::function<std::string(const std::string&)>& work) {
  std::string place = (std::filesystem::temp_directory_path() / "spile-disk-XXXXXX").string();
  if (::mkdtemp(place.data()) == nullptr) throw std::runtime_error("no temporary folder");
  const auto options = "mode=0755,size=" + std::to_string(kilobytes) + "k";
  auto told = in_child([&]() -> std::string {
    // The mount is seen by this child alone and goes with it.
    if (::unshare(CLONE_NEWNS) != 0 || ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0)
      return {};
    if (::mount("spile-test", place.c_str(), "tmpfs", 0, options.c_str()) != 0) return {};
    return work(place);
  });
  std::filesystem::remove(place);
  return told;
}

void make_read_only(const std::string& disk) {
  if (::mount("spile-test", disk.c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, nullptr) != 0)
    throw std::runtime_error("the disk could not be made read-only");
}

Victim::Victim(const std::function<void(const Tell&)>& work) {
  const auto forked = fork_with_pipe([&](int out) {
    guarded([&] {
      work([&](const std::string& text) { write_text(out, text + "\n"); });
      return std::string();
    });
  });
  process_ = forked.process;
  pipe_ = forked.read_end;
}

Victim::~Victim() {
  kill();
  ::close(pipe_);
}

std::string Victim::line() {
  for (;;) {
    if (const auto end = pending_.find('\n'); end != std::string::npos) {
      auto text = pending_.substr(0, end);
      pending_.erase(0, end + 1);
      return text;
    }
    const auto piece = read_some(pipe_);
    if (piece.empty()) return {};
    pending_ += piece;
  }
}

void Victim::kill() {
  if (process_ < 0) return;
  ::kill(process_, SIGKILL);
  ::waitpid(process_, nullptr, 0);
  process_ = -1;
}

}  // namespace spile::db::test
