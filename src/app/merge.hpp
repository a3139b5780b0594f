// Use case: bring in what somebody else recorded in their copy of this logbook.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>

#include "app/jobs.hpp"
#include "app/session.hpp"
#include "db/merge.hpp"

namespace spile::app {

// One edit. Nothing is changed while the outcome lists an open question; ask, and call again with all choices
// so far. Errors: BadInput for the same folder twice, Refused for logbooks that did not begin as one, those
// of opening a logbook.
[[nodiscard]] Result<db::MergeOutcome> merge_logbook(Session& session, const std::filesystem::path& theirs,
                                                     const db::MergeChoices& choices);

// The same, told and not done.
[[nodiscard]] Result<db::MergeOutcome> plan_merge(Session& session, const std::filesystem::path& theirs,
                                                  const db::MergeChoices& choices);
// As a job: originals are read on the worker and kept one by one on the main thread, then the records are
// written. Stopped on the way, it leaves the records as they were.
std::uint64_t start_merge(Jobs& jobs, Session& session, std::filesystem::path theirs,
                          db::MergeChoices choices,
                          std::function<void(Result<db::MergeOutcome>)> on_finished);

// "2 openings and 1 photo added, 1 fitting changed"; "nothing" where there is nothing to bring in.
[[nodiscard]] std::string merge_words(const db::MergeOutcome& outcome);

}  // namespace spile::app
