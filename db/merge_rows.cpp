#include "db/merge_rows.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "db/journal.hpp"

namespace spile::db {
namespace {

struct Column {
  std::string name;
  bool needed = false, in_key = false;
};

std::vector<Column> columns_of(const SQLite::Database& db, const std::string& table) {
  SQLite::Statement row(db, fmt::format("PRAGMA table_info({})", table));
  std::vector<Column> columns;
  while (row.executeStep())
    columns.push_back({text_of(row, "name"), int_of(row, "notnull") != 0, int_of(row, "pk") != 0});
  return columns;
}

std::map<std::string, std::string> references_of(const SQLite::Database& db, const std::string& table) {
  SQLite::Statement row(db, fmt::format("PRAGMA foreign_key_list({})", table));
  std::map<std::string, std::string> references;
  while (row.executeStep())
    if (const auto to = text_of(row, "to"); to == "id" || to.empty())
      references[text_of(row, "from")] = text_of(row, "table");
  return references;
}

Value value_of(const SQLite::Column& column) {
  if (column.isNull()) return {};
  if (column.isInteger()) return column.getInt64();
  if (column.isFloat()) return column.getDouble();
  return column.getString();
}

std::string list_of(const std::vector<std::string>& columns) {
  std::string list;
  for (const auto& column : columns) list += (list.empty() ? "" : ", ") + column;
  return list;
}

void insert(SQLite::Database& db, const std::string& table, const std::string& key,
            const std::vector<std::string>& columns, std::int64_t id, const Row& cells) {
  std::string marks = "?";
  for (std::size_t i = 0; i < columns.size(); ++i) marks += ", ?";
  std::vector<Value> values{id};
  values.insert(values.end(), cells.begin(), cells.end());
  run(db, fmt::format("INSERT INTO {} ({}, {}) VALUES ({})", table, key, list_of(columns), marks), values);
}

void delete_parts(SQLite::Database& db, const RecordTable& table, std::int64_t id) {
  for (const auto& part : table.parts)
    run(db, fmt::format("DELETE FROM {} WHERE {} = ?", part.name, part.owner_column), {id});
}

void insert_parts(SQLite::Database& db, const RecordTable& table, std::int64_t id, const Record& record) {
  for (std::size_t p = 0; p < table.parts.size(); ++p)
    for (const auto& row : record.parts[p])
      insert(db, table.parts[p].name, table.parts[p].owner_column, table.parts[p].columns, id, row);
}

void read_parts(const SQLite::Database& db, const RecordTable& table, Records& records) {
  for (std::size_t p = 0; p < table.parts.size(); ++p) {
    const auto& part = table.parts[p];
    SQLite::Statement row(db, fmt::format("SELECT {}, {} FROM {} ORDER BY 1, 2", part.owner_column,
                                          list_of(part.columns), part.name));
    while (row.executeStep()) {
      Row cells;
      for (int i = 1; i < row.getColumnCount(); ++i) cells.push_back(value_of(row.getColumn(i)));
      records.at(row.getColumn(0).getInt64()).parts[p].push_back(std::move(cells));
    }
  }
}

}  // namespace

std::size_t RecordTable::column(std::string_view column_name) const {
  return static_cast<std::size_t>(std::find(columns.begin(), columns.end(), column_name) - columns.begin());
}

std::vector<RecordTable> record_tables(const SQLite::Database& db) {
  std::vector<RecordTable> tables;
  for (const std::string name : undoable_tables()) {
    const auto references = references_of(db, name);
    const auto columns = columns_of(db, name);
    const auto owner = std::find_if(columns.begin(), columns.end(), [&](const Column& c) {
      return c.in_key && references.count(c.name) > 0;
    });
    if (owner != columns.end()) {
      PartTable part{name, owner->name, {}};
      for (const auto& column : columns)
        if (column.name != owner->name) part.columns.push_back(column.name);
      const auto& host = references.at(owner->name);
      std::find_if(tables.begin(), tables.end(), [&](const RecordTable& t) {
        return t.name == host;
      })->parts.push_back(std::move(part));
      continue;
    }
    RecordTable table;
    table.name = name;
    for (const auto& column : columns) {
      if (column.name == "id") continue;
      table.columns.push_back(column.name);
      table.needed.push_back(column.needed);
      const auto reference = references.find(column.name);
      table.refers.push_back(reference == references.end() ? std::nullopt : std::optional(reference->second));
    }
    tables.push_back(std::move(table));
  }
  return tables;
}

Records read_table(const SQLite::Database& db, const RecordTable& table) {
  Records records;
  SQLite::Statement row(db,
                        fmt::format("SELECT id, {} FROM {} ORDER BY id", list_of(table.columns), table.name));
  while (row.executeStep()) {
    Record record;
    for (int i = 1; i < row.getColumnCount(); ++i) record.cells.push_back(value_of(row.getColumn(i)));
    record.parts.resize(table.parts.size());
    records.emplace(row.getColumn(0).getInt64(), std::move(record));
  }
  read_parts(db, table, records);
  return records;
}

void write_record(SQLite::Database& db, const RecordTable& table, std::int64_t id, const Record& record,
                  bool there_already) {
  if (!there_already) {
    insert(db, table.name, "id", table.columns, id, record.cells);
    insert_parts(db, table, id, record);
    return;
  }
  std::string settings;
  for (const auto& column : table.columns)
    settings += fmt::format("{}{} = ?", settings.empty() ? "" : ", ", column);
  auto values = record.cells;
  values.emplace_back(id);
  run(db, fmt::format("UPDATE {} SET {} WHERE id = ?", table.name, settings), values);
  delete_parts(db, table, id);
  insert_parts(db, table, id, record);
}

void delete_record(SQLite::Database& db, const RecordTable& table, std::int64_t id) {
  delete_parts(db, table, id);
  run(db, fmt::format("DELETE FROM {} WHERE id = ?", table.name), {id});
}

}  // namespace spile::db
