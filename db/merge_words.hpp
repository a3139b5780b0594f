// Records and values of two logbooks in the words a person is asked with.
#pragma once

#include <string>

#include "db/merge_match.hpp"

namespace spile::db {

// What a record is called, the same whichever logbook is "mine": by what both began with, where they did.
[[nodiscard]] std::string called(const MergeStates& states, const MergeTable& table, std::int64_t number);
[[nodiscard]] std::string field_words(const std::string& column);  // "height (mm)"
[[nodiscard]] std::string value_words(const MergeStates& states, const MergeTable& table, std::size_t column,
                                      const Value& value);
[[nodiscard]] std::string noun_of(const std::string& table, int count);

}  // namespace spile::db
