// Two openings that would carry one tag once two logbooks are brought together.
#pragma once

#include "db/merge_ask.hpp"
#include "db/merge_match.hpp"

namespace spile::db {

// Asked which of them keeps it; the other is given " (2)" or the next number that is free.
void settle_tags(const MergeStates& states, MergeQuestions& questions, Records& openings);

}  // namespace spile::db
