// One run in a small JSON file, for working out what is not in a logbook: {"service": "galley-sink-drain",
// "heel_deg": 30, "opening": {"height_mm": -140, "half_breadth_mm": 1060, "size": "1-1/4 in", "thread":
// "npsm-1-1-4"}, "outlet_height_mm": 300, "basin_depth_mm": 160, "basin_litres": 14, "parts": [{"part":
// "sink-38"}, {"part": "hose-38", "length": "1.2 m", "bends": 2}]} Lengths are numbers in mm under names that
// end in _mm, or texts as people write them under the name without it.
#pragma once

#include <string>

#include "app/water.hpp"

namespace spile::app {

// Errors: BadInput naming what is not understood. What cannot be in the run itself comes back in
// RunView::faults.
[[nodiscard]] Result<RunView> view_of_file(const std::string& json, const rules::Tables& tables,
                                           const rules::Stock& stock);

}  // namespace spile::app
