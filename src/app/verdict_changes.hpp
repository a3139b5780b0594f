// What one edit changed in what the rules say.
#pragma once

#include <vector>

#include "app/session.hpp"

namespace spile::app {

// Verdicts that stand in both and read differently, in the order of the openings and rules of `after`.
[[nodiscard]] std::vector<VerdictChange> verdict_changes(const Snapshot& before, const Snapshot& after);

}  // namespace spile::app
