// What is due at which opening, and the whole vessel season by season. Reads a snapshot, changes nothing.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/session.hpp"
#include "rules/due.hpp"
#include "units/civil_date.hpp"

namespace spile::app {

struct DueItem {
  model::OpeningId opening;
  std::string tag, service;  // service as people read it
  rules::DueTask task;
  std::string when;  // "overdue since 2025-10-05 (189 days)", "never done", "due by 2027-04-11"
  std::string why;   // "every 12 months: below the waterline (common practice)"
};

// Most overdue first, never done before all others. A survey after `on` counts for nothing.
[[nodiscard]] std::vector<DueItem> due_items(const Snapshot& snapshot, const rules::Tables& tables,
                                             units::Day on);
[[nodiscard]] nlohmann::ordered_json due_json(const std::vector<DueItem>& items, units::Day on);

// One opening in one survey.
struct SeasonCell {
  model::SurveyId survey;
  model::Seen seen = model::Seen::NotLookedAt;
  model::Condition condition = model::Condition::Unknown;
  std::vector<std::string> reasons;  // what was found, measured and noted then, a phrase each
};

struct SeasonRow {
  model::OpeningId opening;
  std::string tag, service;
  rules::Standing standing = rules::Standing::NotKnownYet;  // in the current survey
  std::vector<SeasonCell> cells;                            // one a survey, oldest first
  std::vector<DueItem> due;                                 // overdue and coming
};

// The most urgent first: by standing, the last condition seen, what is overdue, then by tag.
[[nodiscard]] std::vector<SeasonRow> season_rows(const Snapshot& snapshot, const rules::Tables& tables,
                                                 units::Day on);

}  // namespace spile::app
