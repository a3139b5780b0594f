#include "db/sql.hpp"

#include <fmt/format.h>

namespace spile::db {

Value known(const std::string& text) {
  return text.empty() ? Value() : Value(text);
}

Value real_or_null(const std::optional<double>& value) {
  return value ? Value(*value) : Value();
}

void bind_all(SQLite::Statement& statement, const std::vector<Value>& values) {
  int index = 1;
  for (const auto& value : values) {
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      statement.bind(index, *whole);
    } else if (const auto* real = std::get_if<double>(&value)) {
      statement.bind(index, *real);
    } else if (const auto* text = std::get_if<std::string>(&value)) {
      statement.bind(index, *text);
    } else {
      statement.bind(index);
    }
    ++index;
  }
}

std::int64_t insert_row(SQLite::Database& db, const char* table, const Fields& fields) {
  std::string columns, marks;
  std::vector<Value> values;
  for (const auto& field : fields) {
    columns += fmt::format("{}{}", columns.empty() ? "" : ", ", field.column);
    marks += marks.empty() ? "?" : ", ?";
    values.push_back(field.value);
  }
  SQLite::Statement statement(db, fmt::format("INSERT INTO {} ({}) VALUES ({})", table, columns, marks));
  bind_all(statement, values);
  statement.exec();
  return db.getLastInsertRowid();
}

bool update_row(SQLite::Database& db, const char* table, std::int64_t id, const Fields& fields) {
  std::string settings;
  std::vector<Value> values;
  for (const auto& field : fields) {
    settings += fmt::format("{}{} = ?", settings.empty() ? "" : ", ", field.column);
    values.push_back(field.value);
  }
  values.emplace_back(id);
  SQLite::Statement statement(db, fmt::format("UPDATE {} SET {} WHERE id = ?", table, settings));
  bind_all(statement, values);
  return statement.exec() == 1;
}

int run(SQLite::Database& db, const std::string& sql, const std::vector<Value>& values) {
  SQLite::Statement statement(db, sql);
  bind_all(statement, values);
  return statement.exec();
}

std::int64_t number(const SQLite::Database& db, const char* sql, const std::vector<Value>& values) {
  SQLite::Statement statement(db, sql);
  bind_all(statement, values);
  return statement.executeStep() ? statement.getColumn(0).getInt64() : 0;
}

std::string text_of(SQLite::Statement& row, const char* column) {
  return row.getColumn(column).getString();
}

std::optional<double> real_of(SQLite::Statement& row, const char* column) {
  const auto value = row.getColumn(column);
  return value.isNull() ? std::nullopt : std::optional(value.getDouble());
}

std::int64_t int_of(SQLite::Statement& row, const char* column) {
  return row.getColumn(column).getInt64();
}

}  // namespace spile::db
