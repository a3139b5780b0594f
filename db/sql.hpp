// Rows as lists of named fields, so that each record's columns are named once for insert and update alike.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/ids.hpp"

namespace spile::db {

using Value = std::variant<std::monostate, std::int64_t, double, std::string>;  // monostate: NULL

struct Field {
  const char* column;
  Value value;
};
using Fields = std::vector<Field>;

[[nodiscard]] Value known(const std::string& text);  // empty: not known, NULL
[[nodiscard]] Value real_or_null(const std::optional<double>& value);
template <class Record>
[[nodiscard]] Value id_or_null(const std::optional<model::Id<Record>>& id) {
  return id && id->stored() ? Value(id->value) : Value();
}

void bind_all(SQLite::Statement& statement, const std::vector<Value>& values);
// Table and column names are literals of this folder, never text from outside.
std::int64_t insert_row(SQLite::Database& db, const char* table, const Fields& fields);
[[nodiscard]] bool update_row(SQLite::Database& db, const char* table, std::int64_t id, const Fields& fields);
int run(SQLite::Database& db, const std::string& sql, const std::vector<Value>& values);  // rows changed
[[nodiscard]] std::int64_t number(const SQLite::Database& db, const char* sql,
                                  const std::vector<Value>& values = {});  // 0 for no row

[[nodiscard]] std::string text_of(SQLite::Statement& row, const char* column);  // NULL: empty
[[nodiscard]] std::optional<double> real_of(SQLite::Statement& row, const char* column);
[[nodiscard]] std::int64_t int_of(SQLite::Statement& row, const char* column);
template <class Record>
[[nodiscard]] model::Id<Record> id_of(SQLite::Statement& row, const char* column) {
  return {int_of(row, column)};
}
template <class Record>
[[nodiscard]] std::optional<model::Id<Record>> id_if_any(SQLite::Statement& row, const char* column) {
  if (row.getColumn(column).isNull()) return std::nullopt;
  return id_of<Record>(row, column);
}

}  // namespace spile::db
