// What nobody has recorded yet of one opening: short phrases in the order one walks through them at the hull.
#pragma once

#include <string>
#include <vector>

#include "rules/rule.hpp"

namespace spile::rules {

// "height above the waterline", "hole diameter", ...; empty when the record is whole. What cannot apply is
// not asked for: no material of a fitting that is not there, no valve where the kind of fitting takes none.
[[nodiscard]] std::vector<std::string> missing(const Case& facts, const Tables& tables);

}  // namespace spile::rules
