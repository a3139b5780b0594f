#include "app/merge.hpp"

#include <fmt/format.h>

#include <memory>
#include <optional>
#include <set>

#include "app/access.hpp"
#include "app/log.hpp"
#include "app/wording.hpp"

namespace spile::app {

namespace fs = std::filesystem;

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

Result<db::Store> their_store(const Session& session, const fs::path& theirs) {
  const auto folder = logbook_folder(theirs);
  std::error_code not_there;
  if (fs::equivalent(folder, session.snapshot().folder, not_there)) {
    return fail(ErrorCode::BadInput, "A logbook cannot be merged with itself.",
                "Name the copy that somebody else worked on.");
  }
  auto other = db::Store::open(folder, db::Access::ReadOnly);
  if (!other) log_error(other.error());
  return other;
}

// What went wrong, if anything did: known once all steps that were handed over have run.
using Trouble = std::shared_ptr<std::optional<Error>>;

void bring_originals(const fs::path& theirs, const std::set<std::string>& known,
                     const std::weak_ptr<Session::Access>& open, Progress& progress, const Trouble& trouble) {
  const auto other = db::Store::open(logbook_folder(theirs), db::Access::ReadOnly);
  const auto stop = [&](const Error& error) { progress.hand_over([trouble, error] { *trouble = error; }); };
  if (!other) return stop(other.error());
  const auto photos = other->photos();
  if (!photos) return stop(photos.error());
  int done = 0;
  for (const auto& photo : *photos) {
    progress.at(photo.original_name, done++, static_cast<int>(photos->size()));
    if (progress.cancelled()) {
      return stop({ErrorCode::Cancelled,
                   "The merge was stopped; no record was changed.",
                   "Start it again to go on.",
                   {}});
    }
    if (known.contains(photo.sha256)) continue;
    auto bytes = other->photo_bytes(photo.id);
    if (!bytes) return stop(bytes.error());
    progress.hand_over(
        [open, photo, trouble, held = std::make_shared<std::vector<std::uint8_t>>(std::move(*bytes))] {
          const auto access = open.lock();
          if (access == nullptr || *trouble) return;
          auto record = photo;
          record.id = {};
          if (auto kept = access->store.keep_photo({*held, record}); !kept) *trouble = kept.error();
        });
  }
}

}  // namespace

Result<db::MergeOutcome> plan_merge(Session& session, const fs::path& theirs,
                                    const db::MergeChoices& choices) {
  const auto other = their_store(session, theirs);
  if (!other) return tl::unexpected(other.error());
  auto outcome = session.access().store.plan_merge(*other, choices);
  if (!outcome) log_error(outcome.error());
  return outcome;
}

Result<db::MergeOutcome> merge_logbook(Session& session, const fs::path& theirs,
                                       const db::MergeChoices& choices) {
  const auto other = their_store(session, theirs);
  if (!other) return tl::unexpected(other.error());
  auto& access = session.access();
  auto outcome = access.store.merge(*other, choices);
  if (!outcome) {
    log_error(outcome.error());
    return outcome;
  }
  if (auto read = access.refresh(); !read) return tl::unexpected(std::move(read.error()));
  return outcome;
}

std::uint64_t start_merge(Jobs& jobs, Session& session, fs::path theirs, db::MergeChoices choices,
                          std::function<void(Result<db::MergeOutcome>)> on_finished) {
  const auto here = session.access().store.photos();
  std::set<std::string> known;
  if (here)
    for (const auto& photo : *here) known.insert(photo.sha256);
  const std::weak_ptr<Session::Access> open = session.access().weak_from_this();
  return jobs.start("Merging " + theirs.filename().string(), [=, &session](Progress& progress) -> Jobs::Done {
    const auto trouble = std::make_shared<std::optional<Error>>();
    bring_originals(theirs, known, open, progress, trouble);
    return [=, &session] {
      if (open.expired()) return;
      if (*trouble) return on_finished(tl::unexpected(**trouble));
      on_finished(merge_logbook(session, theirs, choices));
    };
  });
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
