// Runs and flooding gathered for the report. For this folder only.
#pragma once

#include "app/session.hpp"
#include "report/water.hpp"

namespace spile::app {

// `width_paper`: of the figures, mm.
[[nodiscard]] report::ReportWater report_water(const Snapshot& snapshot, const rules::Tables& tables,
                                               const rules::Stock& stock, double width_paper);

}  // namespace spile::app
