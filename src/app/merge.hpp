// Use case: bring in what somebody else recorded in their copy of this logbook.
#pragma once

#include <filesystem>
#include <string>

#include "app/session.hpp"
#include "db/merge.hpp"

namespace spile::app {

// One edit. Nothing is changed while the outcome lists an open question; ask, and call again with all choices
// so far. Errors: BadInput for the same folder twice, Refused for logbooks that did not begin as one, those of
// opening a logbook.
[[nodiscard]] Result<db::MergeOutcome> merge_logbook(Session& session, const std::filesystem::path& theirs,
                                                     const db::MergeChoices& choices);

// "2 openings and 1 photo added, 1 fitting changed"; "nothing" where there is nothing to bring in.
[[nodiscard]] std::string merge_words(const db::MergeOutcome& outcome);

}  // namespace spile::app
