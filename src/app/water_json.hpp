// Runs and flooding as JSON, for scripts: lengths in mm, flows in L/min, what is not known is null.
#pragma once

#include <nlohmann/json.hpp>

#include "app/water.hpp"

namespace spile::app {

[[nodiscard]] nlohmann::ordered_json to_json(const RunView& run);
[[nodiscard]] nlohmann::ordered_json runs_json(const WaterView& water);
[[nodiscard]] nlohmann::ordered_json flooding_json(const WaterView& water);

}  // namespace spile::app
