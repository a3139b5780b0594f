// The figures of runs and flooding, ready for whoever shows them.
#pragma once

#include <optional>

#include "app/water.hpp"
#include "figures/figure.hpp"

namespace spile::app {

[[nodiscard]] figures::Figure run_line_figure(const RunView& run, double width_paper);
[[nodiscard]] figures::Figure run_heights_figure(const RunView& run, double width_paper);
// Nothing for a run without a pump of known curve.
[[nodiscard]] std::optional<figures::Figure> pump_figure(const RunView& run, const rules::Stock& stock,
                                                         double width_paper);
// Every opening of the vessel at its worst leak, at rest.
[[nodiscard]] figures::Figure flooding_figure(const WaterView& water, double width_paper);

}  // namespace spile::app
