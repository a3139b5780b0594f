// log.sqlite of one logbook: made, recognised, opened with the settings everything else relies on, and
// migrated.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <memory>
#include <span>

#include "db/migrate.hpp"
#include "db/store.hpp"
#include "db/writer_lock.hpp"

namespace spile::db {

inline constexpr const char* kLogFile = "log.sqlite";
inline constexpr const char* kPhotosFolder = "photos";
inline constexpr const char* kBackupsFolder = "backups";

// Declared in this order so that the database is closed before the lock is let go.
struct LogFile {
  std::shared_ptr<WriterLock> lock;  // null when opened to read only
  std::unique_ptr<SQLite::Database> db;
  bool first_writer = false;  // no other Store of this process has it open for writing
};

// All throw a Fault, SQLite::Exception or std::system_error.

// A new logbook in `folder`, which must be absent, empty, or hold no more than an interrupted create left. On
// failure everything it made is removed.
[[nodiscard]] LogFile create_log(const std::filesystem::path& folder, std::span<const Migration> list);
// Brings an older one up to date first when `access` is ReadWrite, after a backup into backups/. To read
// only, an older one, or one whose disk does not let SQLite keep its side files, is read into memory and the
// folder left alone.
[[nodiscard]] LogFile open_log(const std::filesystem::path& folder, Access access,
                               std::span<const Migration> list);
// A private copy in memory of all that is committed.
[[nodiscard]] std::unique_ptr<SQLite::Database> copy_in_memory(SQLite::Database& source);

}  // namespace spile::db
