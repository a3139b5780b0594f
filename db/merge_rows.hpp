// The records of a logbook as plain rows, for bringing two logbooks together: whatever tables the schema has,
// read from its own description of itself. Throws SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "db/sql.hpp"

namespace spile::db {

// Rows that have no life of their own, such as the parts of a run: kept with the record they belong to.
struct PartTable {
  std::string name, owner_column;
  std::vector<std::string> columns;  // without owner_column
  friend bool operator==(const PartTable&, const PartTable&) = default;
};

struct RecordTable {
  std::string name;
  std::vector<std::string> columns;                // without id
  std::vector<std::optional<std::string>> refers;  // by column: the table whose id it holds
  std::vector<bool> needed;                        // by column: NOT NULL
  std::vector<PartTable> parts;
  friend bool operator==(const RecordTable&, const RecordTable&) = default;

  [[nodiscard]] std::size_t column(std::string_view name) const;  // columns.size() where there is none
};

using Row = std::vector<Value>;

struct Record {
  Row cells;                            // by column
  std::vector<std::vector<Row>> parts;  // by part table
  friend bool operator==(const Record&, const Record&) = default;
};

using Records = std::map<std::int64_t, Record>;  // by id

// Every table that undo covers, what is referred to before what refers to it.
[[nodiscard]] std::vector<RecordTable> record_tables(const SQLite::Database& db);
[[nodiscard]] Records read_table(const SQLite::Database& db, const RecordTable& table);

void write_record(SQLite::Database& db, const RecordTable& table, std::int64_t id, const Record& record,
                  bool there_already);
void delete_record(SQLite::Database& db, const RecordTable& table, std::int64_t id);

}  // namespace spile::db
