// What undo shows for a change of a record: the one field that changed where it is one ("Record condition,
// P-03"), else the record. For this folder only.
#pragma once

#include <optional>
#include <string>

#include "model/opening.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"

namespace spile::app {

[[nodiscard]] std::string edit_name(const std::optional<model::Vessel>& before, const model::Vessel& after);
[[nodiscard]] std::string edit_name(const std::optional<model::Opening>& before, const model::Opening& after);
[[nodiscard]] std::string edit_name(const std::optional<model::Fitting>& before, const model::Fitting& after,
                                    const std::string& tag);
[[nodiscard]] std::string edit_name(const std::optional<model::Survey>& before, const model::Survey& after);
[[nodiscard]] std::string edit_name(const std::optional<model::Observation>& before,
                                    const model::Observation& after, const std::string& tag);

}  // namespace spile::app
