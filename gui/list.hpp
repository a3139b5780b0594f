// The list of openings as it is shown: which, in what order. Pure; the list view, "next opening" and the
// tests all ask here.
#pragma once

#include <string>
#include <vector>

#include "app/session.hpp"
#include "gui/intents.hpp"

namespace spile::gui {

struct ListState {
  std::string filter;  // words; each must be found in the tag, service, zone, condition, notes or verdicts
  Sieve sieve = Sieve::All;
  SortBy by = SortBy::Tag;
  bool descending = false;
};

[[nodiscard]] const rules::Verdict* verdict_of(const app::OpeningView& opening, std::string_view rule);

[[nodiscard]] std::vector<const app::OpeningView*> listed(const app::Snapshot& logbook,
                                                          const rules::Tables& tables, const ListState& list);

// "P-2" before "P-10".
[[nodiscard]] bool natural_less(std::string_view a, std::string_view b);

// The tag a new opening gets: the newest tag counted on, "P-01" in an empty logbook.
[[nodiscard]] std::string next_tag(const app::Snapshot& logbook);

}  // namespace spile::gui
