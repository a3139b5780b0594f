#include "db/verify.hpp"

#include <fmt/format.h>

#include <set>

#include "db/disk.hpp"
#include "db/fault.hpp"
#include "db/journal.hpp"
#include "db/log_file.hpp"
#include "db/records.hpp"
#include "db/run_rows.hpp"
#include "db/sql.hpp"
#include "db/text.hpp"
#include "db/vault.hpp"

namespace spile::db {
namespace {

namespace fs = std::filesystem;

void check_database(const SQLite::Database& db, VerifyReport& report) {
  SQLite::Statement finding(db, "PRAGMA integrity_check");
  while (finding.executeStep()) {
    if (const auto text = finding.getColumn(0).getString(); text != "ok") {
      report.faults.push_back(fmt::format("The file log.sqlite is damaged: {}.", text));
    }
  }
  SQLite::Statement reference(db, "PRAGMA foreign_key_check");
  while (reference.executeStep()) {
    report.faults.push_back(fmt::format(
        "Record {} of {} refers to a record of {} that is not there.", reference.getColumn(1).getString(),
        reference.getColumn(0).getString(), reference.getColumn(2).getString()));
  }
}

// Reading every record is the check: a word or a trace that this program cannot read is a fault.
void check_records(const SQLite::Database& db, VerifyReport& report) {
  try {
    (void)read_vessel(db);
    (void)read_fittings(db);
    (void)read_runs(db);
    (void)read_bilge(db);
    (void)read_photo_uses(db);
    (void)read_yard_tables(db);
    (void)read_camera_profiles(db);
    report.openings = static_cast<int>(read_openings(db).size());
    report.measurements = static_cast<int>(read_measurements(db, Which::All).size());
    const auto surveys = read_surveys(db);
    report.surveys = static_cast<int>(surveys.size());
    for (const auto& survey : surveys) (void)read_observations(db, survey.id);
  } catch (const Fault& fault) {
    report.faults.push_back(fault.error().what);
  }
}

void check_original(const model::Photo& photo, const fs::path& file, VerifyReport& report) {
  if (!fs::exists(file)) {
    report.faults.push_back(
        fmt::format("The original of {} is missing: {} is not there.", photo.original_name, shown(file)));
    return;
  }
  const auto size = static_cast<std::int64_t>(fs::file_size(file));
  if (size != photo.bytes) {
    report.faults.push_back(fmt::format("The original of {} has changed: {} holds {} instead of {}.",
                                        photo.original_name, shown(file), plural(size, "byte"),
                                        plural(photo.bytes, "byte")));
  } else if (sha256_of_file(file) != photo.sha256) {
    report.faults.push_back(
        fmt::format("The original of {} has changed: the contents of {} no longer match its SHA-256.",
                    photo.original_name, shown(file)));
  }
}

void check_original_readable(const model::Photo& photo, const fs::path& folder, VerifyReport& report) {
  const auto file = vault_path(folder, photo.sha256, photo.media_type);
  try {
    check_original(photo, file, report);
  } catch (const std::exception& fault) {
    report.faults.push_back(fmt::format("The original of {} cannot be read from {}: {}.", photo.original_name,
                                        shown(file), fault.what()));
  }
}

void check_stray(const VaultFile& file, VerifyReport& report) {
  if (file.unfinished) {
    report.notes.push_back(fmt::format(
        "{} is left of an import that was cut off; opening for writing removes it.", shown(file.path)));
  } else if (file.sha256.empty()) {
    report.notes.push_back(fmt::format("{} is not one of the logbook's own files.", shown(file.path)));
  } else if (sha256_of_file(file.path) != file.sha256) {
    report.faults.push_back(fmt::format(
        "{} belongs to no photo of the logbook, and its contents do not match its name.", shown(file.path)));
  } else {
    report.notes.push_back(
        fmt::format("{} is whole but belongs to no photo of the logbook: its import was cut off. Importing "
                    "it again takes it in.",
                    shown(file.path)));
  }
}

void check_vault(const SQLite::Database& db, const fs::path& folder, VerifyReport& report) {
  const auto photos = read_photos(db);
  report.photos = static_cast<int>(photos.size());
  std::set<fs::path> named;
  for (const auto& photo : photos) {
    named.insert(vault_path(folder, photo.sha256, photo.media_type));
    check_original_readable(photo, folder, report);
  }
  for (const auto& file : list_vault(folder)) {
    if (!named.contains(file.path)) check_stray(file, report);
  }
  const auto unused =
      number(db, "SELECT count(*) FROM photo WHERE id NOT IN (SELECT photo_id FROM photo_use)");
  if (unused > 0) {
    report.notes.push_back(fmt::format("{} kept but in no survey: taken out, or the import undone.",
                                       unused == 1 ? "1 photo is" : fmt::format("{} photos are", unused)));
  }
}

// On a copy in memory: back to the beginning, forth to where it stands, and the records must be the same.
void check_journal(SQLite::Database& db, VerifyReport& report) {
  if (number(db,
             "SELECT count(*) FROM journal AS u WHERE u.state = 'undone' AND EXISTS"
             " (SELECT 1 FROM journal AS d WHERE d.state = 'done' AND d.id > u.id)") > 0) {
    report.faults.emplace_back(
        "The record of changes is out of order: an undone change precedes one that was done.");
  }
  const auto copy = copy_in_memory(db);
  copy->exec("PRAGMA foreign_keys = ON");
  const auto before = undoable_state(*copy);
  const auto done = number(*copy, "SELECT count(*) FROM journal WHERE state = 'done'");
  const auto undone = number(*copy, "SELECT count(*) FROM journal WHERE state = 'undone'");
  try {
    for (std::int64_t i = 0; i < undone; ++i) redo_next(*copy);
    for (std::int64_t i = 0; i < done + undone; ++i) undo_last(*copy);
    for (std::int64_t i = 0; i < done; ++i) redo_next(*copy);
    if (undoable_state(*copy) != before) {
      report.faults.emplace_back("The record of changes does not lead back to the records as they are now.");
    }
  } catch (const std::exception& fault) {
    report.faults.push_back(fmt::format("The record of changes cannot be replayed: {}", fault.what()));
  }
}

}  // namespace

VerifyReport verify_logbook(SQLite::Database& db, const fs::path& folder) {
  VerifyReport report;
  check_database(db, report);
  check_records(db, report);
  check_vault(db, folder, report);
  check_journal(db, report);
  return report;
}

std::vector<std::string> tidy_vault(const SQLite::Database& db, const fs::path& folder) {
  std::vector<std::string> notes;
  for (const auto& file : list_vault(folder)) {
    if (file.unfinished) {
      fs::remove(file.path);
      notes.push_back(
          fmt::format("Removed {}, left of an import that was cut off.", shown(file.path.filename())));
    } else if (!file.sha256.empty() && !find_photo(db, file.sha256)) {
      notes.push_back(fmt::format(
          "{} is in the folder photos but in no record: its import was cut off. Import that photo again.",
          shown(file.path.filename())));
    }
  }
  return notes;
}

}  // namespace spile::db
