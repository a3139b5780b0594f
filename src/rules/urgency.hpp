// Which verdict comes first where several are listed.
#pragma once

#include "rules/verdict.hpp"

namespace spile::rules {

// 0 for what has to be done, then what cannot be told, what to watch, what is not known, what is fine.
[[nodiscard]] int urgency_of(Standing standing);

}  // namespace spile::rules
