// Carrying out a merge: the records written as steps that undo can take back.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <map>
#include <vector>

#include "db/edit.hpp"
#include "db/merge_decide.hpp"

namespace spile::db {

[[nodiscard]] std::vector<MergeCount> counts_of(const MergeStates& states, const Merged& merged);
// Inside the caller's transaction. Originals that only theirs held are in mine by now, at `photo_ids` by
// their number.
void write_merged(SQLite::Database& db, RecordedEdit& edit, const MergeStates& states, Merged merged,
                  const std::map<std::int64_t, std::int64_t>& photo_ids);

}  // namespace spile::db
