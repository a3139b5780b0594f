#include "db/log_file.hpp"

#include <SQLiteCpp/Backup.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <stdlib.h>

#include <array>
#include <chrono>
#include <system_error>
#include <thread>

#include "db/disk.hpp"
#include "db/fault.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"

namespace spile::db {
namespace {

namespace fs = std::filesystem;

constexpr int kBusyTimeoutMs = 5000;
constexpr const char* kUnfinished = "log.sqlite.new";
constexpr std::array kSideFiles{"", "-wal", "-shm", "-journal"};

fs::path side_file(const fs::path& file, const char* suffix) {
  return fs::path(file) += suffix;
}

// ---- recognising ----

std::int32_t big_endian(std::span<const std::uint8_t> bytes) {
  std::uint32_t n = 0;
  for (const auto b : bytes.first(4)) n = (n << 8U) | b;
  return static_cast<std::int32_t>(n);
}

[[noreturn]] void not_a_logbook(const fs::path& folder, std::string why) {
  raise(ErrorCode::NotALogbook, fmt::format("{} is not a logbook: {}.", shown(folder), why),
        "Choose a folder made by this program, its name ends in .spile, or create a new logbook.");
}

// A folder that has photos/ was a logbook once, so what is wrong with its log.sqlite is damage.
[[noreturn]] void unusable(const fs::path& folder, const std::string& why) {
  if (!fs::is_directory(folder / kPhotosFolder)) not_a_logbook(folder, why);
  raise(ErrorCode::LogbookDamaged, fmt::format("The logbook {} cannot be read: {}.", shown(folder), why),
        "Copy the whole folder to a safe place before anything else, then put back log.sqlite from your "
        "newest copy; the original photos in its folder photos are unharmed.");
}

[[noreturn]] void too_new(const fs::path& folder, int version, int newest) {
  raise(ErrorCode::LogbookTooNew,
        fmt::format("{} was written by a newer version of this program (format {}, this one reads up to {}).",
                    shown(folder), version, newest),
        "Install the newer version; the logbook was left as it is.");
}

void expect_folder(const fs::path& folder) {
  std::error_code fault;
  const auto status = fs::status(folder, fault);
  if (status.type() == fs::file_type::not_found) {
    raise(ErrorCode::FileMissing, fmt::format("There is no logbook at {}.", shown(folder)),
          "Check the path, and that the disk it is on is connected.");
  }
  if (fault) throw std::system_error(fault);
  if (!fs::is_directory(status)) not_a_logbook(folder, "it is a file, not a folder");
}

// The first 100 bytes of an SQLite file (SQLite, "Database File Format", section 1.3).
std::vector<std::uint8_t> header_of(const fs::path& folder) try {
  const auto file = folder / kLogFile;
  if (!fs::exists(file)) unusable(folder, "the file log.sqlite is missing in it");
  return read_at_most(file, 100);
} catch (const std::system_error& fault) {
  if (fault.code().value() != EACCES && fault.code().value() != EPERM) throw;
  raise(ErrorCode::FileUnreadable, fmt::format("You have no permission to read {}.", shown(folder)),
        "Ask its owner for permission, or for a copy.", fault.what());
}

void expect_our_header(const fs::path& folder, int newest) {
  const auto header = header_of(folder);
  const std::string_view magic("SQLite format 3\0", 16);
  if (header.empty()) unusable(folder, "its file log.sqlite is empty, 0 bytes");
  if (header.size() < 100 || std::string_view(reinterpret_cast<const char*>(header.data()), 16) != magic) {
    unusable(folder, "its file log.sqlite is not a database");
  }
  const std::span bytes(header);
  if (big_endian(bytes.subspan(68)) != kApplicationId) {
    not_a_logbook(folder, "its file log.sqlite belongs to another program");
  }
  const int version = big_endian(bytes.subspan(60));
  if (version > newest) too_new(folder, version, newest);
}

// ---- opening ----

// The system's own reason for a refusal is only known while the database is open, so it is asked for here.
template <class Work>
auto with_reason(SQLite::Database& db, const Attempt& attempt, const Work& work) {
  try {
    return work();
  } catch (const SQLite::Exception& fault) {
    throw Fault(error_from_sqlite(fault, system_errno_of(db.getHandle()), attempt));
  }
}

Attempt opening_of(const fs::path& folder) {
  return {folder, "The logbook was not opened."};
}

Attempt creating_of(const fs::path& folder) {
  return {folder, "The logbook was not created."};
}

void harden(SQLite::Database& db) {
  sqlite3_db_config(db.getHandle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(db.getHandle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  db.exec("PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY; PRAGMA foreign_keys = ON");
}

void prepare_writing(SQLite::Database& db) {
  harden(db);
  db.exec("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL");
}

void expect_sound(SQLite::Database& db, const fs::path& folder) {
  const auto finding = db.execAndGet("PRAGMA quick_check(1)").getString();
  if (finding != "ok") {
    raise(ErrorCode::LogbookDamaged, fmt::format("The file log.sqlite in {} is damaged.", shown(folder)),
          "Copy the whole folder to a safe place before anything else, then put back log.sqlite from your "
          "newest copy; the original photos in its folder photos are unharmed.",
          finding);
  }
}

void expect_known_version(const SQLite::Database& db, const fs::path& folder, int newest) {
  if (const int version = version_of(db); version > newest) too_new(folder, version, newest);
}

// All pages of one database into another. A step that finds a database locked returns instead of throwing;
// the copy would be cut short.
void copy_whole(SQLite::Database& into, SQLite::Database& from) {
  constexpr int kTries = 50;
  constexpr std::chrono::milliseconds kPause(20);
  SQLite::Backup backup(into, from);
  int result = backup.executeStep();
  for (int tries = 1; result != SQLITE_DONE && tries < kTries; ++tries) {
    std::this_thread::sleep_for(kPause);
    result = backup.executeStep();
  }
  if (result != SQLITE_DONE) throw SQLite::Exception("the copy was not finished", result);
}

void back_up(SQLite::Database& db, const fs::path& folder, const std::string& name) {
  const auto backups = folder / kBackupsFolder;
  fs::create_directory(backups);
  const auto temporary = backups / (name + ".part"), target = backups / name;
  try {
    {
      SQLite::Database copy(temporary.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
      copy_whole(copy, db);
    }
    sync_file(FileHandle(temporary, O_RDONLY).get());
    fs::rename(temporary, target);
    sync_folder(backups);
  } catch (...) {
    for (const auto* suffix : kSideFiles) remove_quietly(side_file(temporary, suffix));
    throw;
  }
}

std::string backup_name(int version) {
  auto time = utc_now();
  std::erase(time, '-');
  std::erase(time, ':');
  return fmt::format("log-format-{}-{}.sqlite", version, time);
}

void bring_up_to_date(SQLite::Database& db, const fs::path& folder, std::span<const Migration> list) {
  const int version = version_of(db);
  if (version >= newest_version(list)) return;
  back_up(db, folder, backup_name(version));
  migrate(db, list);
}

LogFile open_to_write(const fs::path& folder, std::span<const Migration> list) {
  LogFile log;
  auto acquired = WriterLock::acquire(folder);
  log.lock = std::move(acquired.lock);
  log.first_writer = acquired.first;
  log.db = std::make_unique<SQLite::Database>((folder / kLogFile).string(), SQLite::OPEN_READWRITE,
                                              kBusyTimeoutMs);
  auto& db = *log.db;
  if (sqlite3_db_readonly(db.getHandle(), "main") == 1) {
    throw std::system_error(EACCES, std::generic_category());
  }
  with_reason(db, opening_of(folder), [&] {
    expect_known_version(db, folder, newest_version(list));
    prepare_writing(db);
    expect_sound(db, folder);
    bring_up_to_date(db, folder, list);
  });
  return log;
}

// ---- opening to read only ----

std::string percent_encoded(const std::string& path) {
  std::string text;
  for (const char c : path) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain =
        (byte >= '0' && byte <= '9') || (byte >= 'A' && byte <= 'Z') || (byte >= 'a' && byte <= 'z');
    text += plain || c == '/' || c == '-' || c == '_' || c == '.' ? std::string(1, c)
                                                                  : fmt::format("%{:02X}", byte);
  }
  return text;
}

bool has_unmerged_changes(const fs::path& file) {
  std::error_code ignored;
  const auto size = fs::file_size(side_file(file, "-wal"), ignored);
  return !ignored && size > 0;
}

// A folder of its own outside the logbook, gone again with this object.
class ScratchFolder {
 public:
  ScratchFolder() {
    auto pattern = (fs::temp_directory_path() / "spile-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr) throw std::system_error(errno, std::generic_category());
    path_ = pattern;
  }
  ~ScratchFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

// For a disk on which SQLite may not keep its side files. `immutable` would pass over a -wal, and with it
// over changes that were acknowledged before a crash, so then both files are copied to where it may be
// merged.
std::unique_ptr<SQLite::Database> read_without_side_files(const fs::path& file) {
  if (!has_unmerged_changes(file)) {
    SQLite::Database source(fmt::format("file:{}?immutable=1", percent_encoded(file.string())),
                            SQLite::OPEN_READONLY | SQLite::OPEN_URI);
    return copy_in_memory(source);
  }
  const ScratchFolder scratch;
  for (const auto* suffix : {"", "-wal"}) {
    fs::copy_file(side_file(file, suffix), side_file(scratch.path() / kLogFile, suffix));
  }
  fs::permissions(scratch.path() / kLogFile, fs::perms::owner_all);
  SQLite::Database source((scratch.path() / kLogFile).string(), SQLite::OPEN_READWRITE);
  return copy_in_memory(source);
}

bool is_hindered_by_disk(int code) {
  return code == SQLITE_CANTOPEN || code == SQLITE_READONLY || code == SQLITE_IOERR || code == SQLITE_PERM;
}

std::unique_ptr<SQLite::Database> read_beside_writer(const fs::path& file) {
  auto db = std::make_unique<SQLite::Database>(file.string(), SQLite::OPEN_READONLY, kBusyTimeoutMs);
  (void)number(*db, "SELECT count(*) FROM sqlite_schema");  // the first look is what a hindered disk refuses
  return db;
}

std::unique_ptr<SQLite::Database> open_file_to_read(const fs::path& file) {
  try {
    return read_beside_writer(file);
  } catch (const SQLite::Exception& fault) {
    if (!is_hindered_by_disk(fault.getErrorCode())) throw;
  }
  return read_without_side_files(file);
}

void check_to_read(SQLite::Database& db, const fs::path& folder, int newest) {
  with_reason(db, opening_of(folder), [&] {
    harden(db);
    expect_known_version(db, folder, newest);
    expect_sound(db, folder);
  });
}

LogFile open_to_read(const fs::path& folder, std::span<const Migration> list) {
  LogFile log;
  log.db = open_file_to_read(folder / kLogFile);
  check_to_read(*log.db, folder, newest_version(list));
  if (version_of(*log.db) < newest_version(list)) {
    log.db = copy_in_memory(*log.db);
    harden(*log.db);
    migrate(*log.db, list);
  }
  log.db->exec("PRAGMA query_only = ON");
  return log;
}

// ---- creating ----

// What create() may meet in the folder and overwrite: its own, from an attempt that was cut off.
bool is_left_by_interrupted_create(const fs::path& entry) {
  const auto name = entry.filename().string();
  if (name == kLockFile) return fs::is_regular_file(entry);
  if (name == kPhotosFolder) return fs::is_directory(entry) && fs::is_empty(entry);
  return name.starts_with(kUnfinished);
}

void expect_free(const fs::path& folder) {
  const auto status = fs::symlink_status(folder);
  if (status.type() == fs::file_type::not_found) return;
  bool free = fs::is_directory(folder);
  if (free) {
    for (const auto& entry : fs::directory_iterator(folder)) {
      free = free && is_left_by_interrupted_create(entry.path());
    }
  }
  if (!free) {
    raise(ErrorCode::AlreadyExists, fmt::format("There is something at {} already.", shown(folder)),
          "Choose another name, or open it if it is a logbook; it was left as it is.");
  }
}

void write_empty_log(const fs::path& folder, std::span<const Migration> list) {
  const auto unfinished = folder / kUnfinished;
  for (const auto* suffix : kSideFiles) remove_quietly(side_file(unfinished, suffix));
  {
    SQLite::Database db(unfinished.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    with_reason(db, creating_of(folder), [&] {
      db.exec(fmt::format("PRAGMA application_id = {}", kApplicationId));
      prepare_writing(db);
      migrate(db, list);
    });
  }
  sync_file(FileHandle(unfinished, O_RDONLY).get());
  fs::rename(unfinished, folder / kLogFile);
  sync_folder(folder);
}

void remove_begun(const fs::path& folder, bool made_folder) {
  for (const auto* suffix : kSideFiles) {
    remove_quietly(side_file(folder / kUnfinished, suffix));
    remove_quietly(side_file(folder / kLogFile, suffix));
  }
  remove_quietly(folder / kPhotosFolder);
  remove_quietly(folder / kLockFile);
  if (made_folder) remove_quietly(folder);
}

LogFile create_in_locked(const fs::path& folder, std::span<const Migration> list) {
  // Held from the first file to the open logbook, so that two programs cannot both be creating it.
  const auto held = WriterLock::acquire(folder);
  expect_free(folder);
  fs::create_directory(folder / kPhotosFolder);
  write_empty_log(folder, list);
  return open_to_write(folder, list);
}

}  // namespace

std::unique_ptr<SQLite::Database> copy_in_memory(SQLite::Database& source) {
  auto copy = std::make_unique<SQLite::Database>(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  copy_whole(*copy, source);
  return copy;
}

LogFile create_log(const fs::path& folder, std::span<const Migration> list) {
  expect_free(folder);
  const bool made_folder = fs::create_directory(folder);
  try {
    auto log = create_in_locked(folder, list);
    sync_folder(fs::absolute(folder).parent_path());
    return log;
  } catch (const Fault& fault) {
    // Another program got there first: what lies in the folder is its.
    const auto code = fault.error().code;
    if (code != ErrorCode::LogbookBusy && code != ErrorCode::AlreadyExists) remove_begun(folder, made_folder);
    throw;
  } catch (...) {
    remove_begun(folder, made_folder);
    throw;
  }
}

LogFile open_log(const fs::path& folder, Access access, std::span<const Migration> list) {
  expect_folder(folder);
  expect_our_header(folder, newest_version(list));
  return access == Access::ReadWrite ? open_to_write(folder, list) : open_to_read(folder, list);
}

}  // namespace spile::db
