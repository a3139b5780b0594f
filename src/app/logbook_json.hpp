// A logbook, one opening or its verdicts as JSON, for scripts: keys of the model's own spelling, lengths in
// mm, what nobody recorded is null.
#pragma once

#include <nlohmann/json.hpp>
#include <string_view>

#include "app/session.hpp"

namespace spile::app {

[[nodiscard]] std::string_view standing_key(rules::Standing standing);    // "act", "too-close-to-tell"
[[nodiscard]] std::string_view standing_label(rules::Standing standing);  // "Act", "Too close to tell"

[[nodiscard]] nlohmann::ordered_json to_json(const Snapshot& snapshot);
[[nodiscard]] nlohmann::ordered_json to_json(const OpeningView& opening);
// {"tag", "standing", "verdicts": [...]}
[[nodiscard]] nlohmann::ordered_json verdicts_json(const OpeningView& opening);
[[nodiscard]] nlohmann::ordered_json to_json(const model::Measurement& measurement);
[[nodiscard]] nlohmann::ordered_json to_json(const model::CameraProfile& profile);
[[nodiscard]] nlohmann::ordered_json cameras_json(const std::vector<model::CameraProfile>& cameras);

}  // namespace spile::app
