// The right to write to a logbook. One process at a time holds an advisory lock on `writer.lock` in the
// folder; the system lets go of it when the process ends, however it ends. Several Stores of one process
// share it.
#pragma once

#include <filesystem>
#include <memory>

#include "db/disk.hpp"

namespace spile::db {

inline constexpr const char* kLockFile = "writer.lock";

class WriterLock {
 public:
  struct Acquired {
    std::shared_ptr<WriterLock> lock;
    bool first = false;  // no other Store of this process had it
  };
  // Throws a Fault LogbookBusy that says who holds it, or std::system_error.
  [[nodiscard]] static Acquired acquire(const std::filesystem::path& folder);
  explicit WriterLock(FileHandle file);
  ~WriterLock();
  WriterLock(const WriterLock&) = delete;
  WriterLock& operator=(const WriterLock&) = delete;

 private:
  FileHandle file_;
};

}  // namespace spile::db
