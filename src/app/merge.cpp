#include "app/merge.hpp"

#include <fmt/format.h>

#include "app/access.hpp"
#include "app/log.hpp"
#include "app/wording.hpp"

namespace spile::app {
namespace {

std::string named(int count, const std::string& noun) {
  return fmt::format("{} {}", count, noun);
}

std::string listed(const std::vector<std::string>& items) {
  std::string words;
  for (std::size_t i = 0; i < items.size(); ++i)
    words += (i == 0 ? "" : i + 1 == items.size() ? " and " : ", ") + items[i];
  return words;
}

}  // namespace

Result<db::MergeOutcome> merge_logbook(Session& session, const std::filesystem::path& theirs,
                                       const db::MergeChoices& choices) {
  const auto folder = logbook_folder(theirs);
  std::error_code not_there;
  if (std::filesystem::equivalent(folder, session.snapshot().folder, not_there)) {
    return fail(ErrorCode::BadInput, "A logbook cannot be merged with itself.",
                "Name the copy that somebody else worked on.");
  }
  const auto other = db::Store::open(folder, db::Access::ReadOnly);
  if (!other) {
    log_error(other.error());
    return tl::unexpected(other.error());
  }
  auto& access = session.access();
  auto outcome = access.store.merge(*other, choices);
  if (!outcome) {
    log_error(outcome.error());
    return outcome;
  }
  if (auto read = access.refresh(); !read) return tl::unexpected(std::move(read.error()));
  return outcome;
}

std::string merge_words(const db::MergeOutcome& outcome) {
  std::vector<std::string> added, changed, removed, clauses;
  for (const auto& kind : outcome.counts) {
    if (kind.added > 0) added.push_back(named(kind.added, kind.noun_for(kind.added)));
    if (kind.changed > 0) changed.push_back(named(kind.changed, kind.noun_for(kind.changed)));
    if (kind.removed > 0) removed.push_back(named(kind.removed, kind.noun_for(kind.removed)));
  }
  if (outcome.photos > 0) added.push_back(counted(static_cast<std::size_t>(outcome.photos), "photo file"));
  if (!added.empty()) clauses.push_back(listed(added) + " added");
  if (!changed.empty()) clauses.push_back(listed(changed) + " changed");
  if (!removed.empty()) clauses.push_back(listed(removed) + " removed");
  if (clauses.empty()) return "nothing";
  std::string words;
  for (const auto& clause : clauses) words += (words.empty() ? "" : "; ") + clause;
  return words;
}

}  // namespace spile::app
