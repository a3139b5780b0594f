// Corrections of one measurement by both.
#pragma once

#include "db/merge_ask.hpp"
#include "db/merge_match.hpp"

namespace spile::db {

// Asked which stands; the other is kept, withdrawn, with a note that says why.
void settle_corrections(const MergeStates& states, MergeQuestions& questions, Records& measurements);

}  // namespace spile::db
