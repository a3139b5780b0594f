// Work in another process: one that crashes, one that has no rights, one that has no room.
#pragma once

#include <functional>
#include <string>

#include <sys/types.h>

namespace spile::db::test {

// Runs `work` in a forked process, waits, and returns what it returned (or how it died).
[[nodiscard]] std::string in_child(const std::function<std::string()>& work);

// The same as somebody without special rights: as root, "nobody".
[[nodiscard]] std::string in_child_without_rights(const std::function<std::string()>& work);

// The same with a disk of its own, `kilobytes` large, whose folder is handed over. Empty: this system does
// not let us.
[[nodiscard]] std::string in_child_on_small_disk(int kilobytes,
                                                 const std::function<std::string(const std::string&)>& work);
void make_read_only(const std::string& disk);  // inside such a child

// A process that runs `work`, which tells what it achieved line by line, until it is killed.
class Victim {
 public:
  using Tell = std::function<void(const std::string&)>;
  explicit Victim(const std::function<void(const Tell&)>& work);
  ~Victim();
  Victim(const Victim&) = delete;
  Victim& operator=(const Victim&) = delete;
  [[nodiscard]] pid_t process() const { return process_; }
  [[nodiscard]] std::string line();  // waits for the next line; empty: it ended
  void kill();                       // as a power cut would, at once

 private:
  pid_t process_ = -1;
  int pipe_ = -1;
  std::string pending_;
};

}  // namespace spile::db::test
