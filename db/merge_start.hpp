// The state that two logbooks began with, found from what each did and undid since.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <memory>

#include "db/merge_ask.hpp"

namespace spile::db {

// In memory. Nobody can tell an undo on one side from a redo on the other, so it is asked which of them
// counts. Throws a Fault Refused when they did not begin as one.
[[nodiscard]] std::unique_ptr<SQLite::Database> common_start(SQLite::Database& mine, SQLite::Database& theirs,
                                                             MergeQuestions& questions);

}  // namespace spile::db
