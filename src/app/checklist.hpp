// A survey begun from the one before it, and the walk round the boat that confirms or changes what was
// carried over.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/session.hpp"

namespace spile::app {

// What the new survey takes over from the newest earlier observation of each opening: everything that was put
// down, to be confirmed, nothing as seen. Openings nobody ever looked at get none.
[[nodiscard]] std::vector<model::Observation> carried_over(const Snapshot& snapshot);

struct CheckItem {
  model::OpeningId opening;
  std::string tag, service, place;  // place: "port, 3.50 m from the bow"
  model::Seen seen = model::Seen::NotLookedAt;
  std::string last;  // "sound on 2026-04-11: weeping", or empty
};

struct Checklist {
  std::vector<CheckItem> items;  // in the order of the walk
  int looked = 0, to_confirm = 0, not_looked = 0;
};

// Of the current survey. The walk goes down the starboard side from the bow, along the centreline back to the
// bow, and down the port side; what has no distance from the bow comes at the end of its side.
[[nodiscard]] Checklist checklist_of(const Snapshot& snapshot, const rules::Tables& tables);
[[nodiscard]] std::string progress_words(
    const Checklist& list);  // "5 of 16 looked at, 9 to be confirmed, ..."
// Tags of those nobody looked at and of those to be confirmed: "P-03, S-01".
[[nodiscard]] std::string tags_of(const Checklist& list, model::Seen seen);
[[nodiscard]] nlohmann::ordered_json checklist_json(const Checklist& list);

}  // namespace spile::app
