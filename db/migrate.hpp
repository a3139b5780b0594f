// The schema's history: numbered SQL files, each run once, in order, in its own transaction together with the
// new user_version. A database is at version 0 when it is new.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <span>
#include <string_view>

namespace spile::db {

struct Migration {
  int version;           // 1, 2, 3 ... without gaps
  std::string_view sql;  // several statements
  // False: the file changes tables whose recorded changes no longer fit; undo starts afresh from here.
  bool keeps_undo = false;
};

[[nodiscard]] std::span<const Migration> migrations();  // those this program knows, oldest first
[[nodiscard]] int newest_version(std::span<const Migration> list);
[[nodiscard]] int version_of(const SQLite::Database& db);

// Brings `db` to the newest version. Throws when one fails; that one is rolled back, the earlier ones stand.
void migrate(SQLite::Database& db, std::span<const Migration> list);

}  // namespace spile::db
