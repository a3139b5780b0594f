#include "db/migrate.hpp"

#include <fmt/format.h>

#include "db/fault.hpp"
#include "db/schema_sql.hpp"
#include "db/sql.hpp"

namespace spile::db {
namespace {

void expect_whole_references(const SQLite::Database& db, int version) {
  SQLite::Statement check(db, "PRAGMA foreign_key_check");
  if (check.executeStep()) {
    raise(ErrorCode::Internal,
          fmt::format(
              "The logbook could not be brought to format {}: a record of {} would refer to nothing there.",
              version, check.getColumn(0).getString()),
          "It was left in its old format; keep using the older version of the program for it.");
  }
}

void forget_undo(SQLite::Database& db) {
  if (!db.tableExists("journal")) return;
  db.exec("DELETE FROM journal_step");
  db.exec("DELETE FROM journal");
}

void run_one(SQLite::Database& db, const Migration& migration) {
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
  if (!migration.keeps_undo) forget_undo(db);
  db.exec(std::string(migration.sql));
  expect_whole_references(db, migration.version);
  db.exec(fmt::format("PRAGMA user_version = {}", migration.version));
  transaction.commit();
}

// A table that was rebuilt leaves its old pages free, and damage to a free page would go unseen. A disk
// without room for the copy this takes leaves them so.
void give_back_free_pages(SQLite::Database& db) {
  if (number(db, "PRAGMA freelist_count") > 0) db.tryExec("VACUUM");
}

}  // namespace

std::span<const Migration> migrations() {
  return kMigrations;
}

int newest_version(std::span<const Migration> list) {
  return list.empty() ? 0 : list.back().version;
}

int version_of(const SQLite::Database& db) {
  return static_cast<int>(number(db, "PRAGMA user_version"));
}

void migrate(SQLite::Database& db, std::span<const Migration> list) {
  // A table is rebuilt by dropping the old one, which enforced foreign keys would refuse (SQLite, "ALTER
  // TABLE", section 7); each migration is checked as a whole before it is committed instead.
  db.exec("PRAGMA foreign_keys = OFF");
  const int before = version_of(db);
  try {
    for (const auto& migration : list) {
      if (migration.version > version_of(db)) run_one(db, migration);
    }
  } catch (...) {
    db.tryExec("PRAGMA foreign_keys = ON");
    throw;
  }
  db.exec("PRAGMA foreign_keys = ON");
  if (version_of(db) != before) give_back_free_pages(db);
}

}  // namespace spile::db
