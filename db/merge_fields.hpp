// One record that both hold, field by field.
#pragma once

#include "db/merge_fates.hpp"

namespace spile::db {

[[nodiscard]] Record merged_fields(const MergeStates& states, const MergeTable& table, std::int64_t number,
                                   const MergeFates& fates, MergeQuestions& questions);

}  // namespace spile::db
