// Runs that meet in tees, all running at once. For this folder only.
#pragma once

#include <vector>

#include "app/run_view.hpp"

namespace spile::app {

// Puts into each run that shares a tee with others what flows while they run too; `places` by run. A run that
// the others push water into is to be watched.
void join_flows(std::vector<RunView>& runs, const std::vector<RunPlace>& places, const RunWorkshop& shop);

}  // namespace spile::app
