// What a logbook brought together holds, record by record, and what somebody has to choose first.
#pragma once

#include <map>
#include <string>

#include "db/merge_ask.hpp"
#include "db/merge_match.hpp"

namespace spile::db {

using Merged = std::map<std::string, Records>;  // by table and number

// Field by field: what one of the two changed is taken over; what both changed alike is taken once; what both
// changed each in its own way is asked. What one took out and the other worked on since is asked too.
[[nodiscard]] Merged decided(const MergeStates& states, MergeQuestions& questions);

}  // namespace spile::db
