// Which records of two logbooks are one and the same: those of their common start, and those that both added
// alike. Every record gets one number, by which all three states are then keyed.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <map>
#include <string>
#include <vector>

#include "db/merge.hpp"
#include "db/merge_rows.hpp"

namespace spile::db {

// One table in three states, by number: as both began, as mine is, as theirs is. Whatever refers to a record
// holds its number. The number of a record of mine is its id there.
struct MergeTable {
  RecordTable table;
  Records base, mine, theirs;
};

// An original, by number: the id in mine; below 0 where only theirs holds it.
struct MergePhotos {
  std::map<std::int64_t, std::int64_t> number_of_theirs;  // by id in theirs
  std::map<std::int64_t, std::string> name;               // by number
};

struct MergeStates {
  std::vector<MergeTable> tables;
  MergePhotos photos;

  [[nodiscard]] const MergeTable& of(const std::string& table) const;
  [[nodiscard]] MergeTable& of(const std::string& table);
};

// The key under which an opening that both added is listed; see MergeSide::Both.
[[nodiscard]] std::string added_twice(const std::string& tag);

// How a text compares where the schema makes no difference between capitals and small letters.
[[nodiscard]] std::string without_case(std::string text);

// The columns that tell one record of a table from another, apart from its id; none: only its content does.
[[nodiscard]] const std::vector<std::string>& natural_key(const std::string& table);
[[nodiscard]] Row natural_key_of(const RecordTable& table, const Record& record);

[[nodiscard]] MergeStates matched(const SQLite::Database& base, const SQLite::Database& mine,
                                  const SQLite::Database& theirs, const MergeChoices& choices);

}  // namespace spile::db
