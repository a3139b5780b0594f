// Reads a logbook into a Snapshot: one view per opening with its verdicts. For this folder only.
#pragma once

#include <optional>

#include "app/session.hpp"
#include "db/store.hpp"
#include "rules/stock.hpp"
#include "rules/tables.hpp"

namespace spile::app {

// `chosen` is the survey asked for; where it is not in the logbook the newest one is current.
// `revision` and the undo names are the caller's.
[[nodiscard]] Result<Snapshot> read_snapshot(const db::Store& store, const rules::Tables& tables,
                                             const rules::Stock& stock,
                                             std::optional<model::SurveyId> chosen);

}  // namespace spile::app
