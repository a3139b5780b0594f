// The measuring contract: one report as the JSON object that `spile measure --json` prints, key for key in
// the design's order. Lengths in mm, pixels of the upright picture; what is absent is null.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "vision/compare.hpp"
#include "vision/measure.hpp"

namespace spile::app {

[[nodiscard]] nlohmann::ordered_json to_json(const vision::Report& report, const std::string& photo);

// What `spile compare` prints: pixels of the later photo; what only we add comes after the contract's keys.
[[nodiscard]] nlohmann::ordered_json to_json(const vision::Comparison& comparison);

// A photo that could not even be decoded, as a refused report with the code "unreadable".
[[nodiscard]] vision::Report unreadable(const Error& error);

}  // namespace spile::app
