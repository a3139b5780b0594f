// Runs and flooding as text for people.
#pragma once

#include <iosfwd>

#include "app/water.hpp"

namespace spile::app::cli {

void print_run(std::ostream& out, const RunView& run);
void print_flooding(std::ostream& out, const WaterView& water);

}  // namespace spile::app::cli
