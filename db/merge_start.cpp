#include "db/merge_start.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <vector>

#include "db/fault.hpp"
#include "db/journal.hpp"
#include "db/log_file.hpp"
#include "db/text.hpp"

namespace spile::db {
namespace {

using Changes = std::vector<RecordedChange>;

bool same(const RecordedChange& a, const RecordedChange& b) {
  return a.name == b.name && a.made_at == b.made_at && a.steps == b.steps;
}

Changes done_ones(const Changes& changes) {
  Changes done;
  std::copy_if(changes.begin(), changes.end(), std::back_inserter(done),
               [](const auto& c) { return c.done; });
  return done;
}

std::unique_ptr<SQLite::Database> rewound(SQLite::Database& db, const Changes& changes, std::size_t keep) {
  auto copy = copy_in_memory(db);
  for (auto i = changes.size(); i > keep; --i) play_back(*copy, changes[i - 1]);
  return copy;
}

// How many of `changes`, from the one of number `from` on, the other logbook has once made too, and undone.
std::size_t undone_in(const Changes& other, const Changes& changes, std::size_t from) {
  const auto was_undone = [&](const RecordedChange& change) {
    return std::any_of(other.begin(), other.end(), [&](const auto& c) { return !c.done && same(c, change); });
  };
  auto i = from;
  while (i < changes.size() && was_undone(changes[i])) ++i;
  return i - from;
}

MergeSide ask_about_undo(MergeQuestions& questions, const Changes& changes, std::size_t from,
                         std::size_t count, bool done_in_mine) {
  const std::string done = "done", undone = "undone";
  const auto more =
      count == 1 ? ""
                 : fmt::format(" and {} after it", plural(static_cast<std::int64_t>(count - 1), "change"));
  return questions.ask({fmt::format("“{}”{}: undone", changes[from].name, more), "",
                        done_in_mine ? done : undone, done_in_mine ? undone : done, false});
}

}  // namespace

std::unique_ptr<SQLite::Database> common_start(SQLite::Database& mine, SQLite::Database& theirs,
                                               MergeQuestions& questions) {
  const auto all_own = recorded_changes(mine), all_other = recorded_changes(theirs);
  const auto own = done_ones(all_own), other = done_ones(all_other);
  std::size_t common = 0;
  while (common < own.size() && common < other.size() && same(own[common], other[common])) ++common;
  auto start = rewound(mine, own, common);
  if (undoable_state(*start) != undoable_state(*rewound(theirs, other, common))) {
    raise(
        ErrorCode::Refused, "These two logbooks did not begin as one, so they cannot be brought together.",
        "Give each person a copy of one logbook to start from. What is in the other one can be typed in, and "
        "its photos imported.");
  }
  if (const auto count = undone_in(all_other, own, common); count > 0) {
    if (ask_about_undo(questions, own, common, count, true) == MergeSide::Theirs)
      return rewound(mine, own, common + count);
  } else if (const auto theirs_only = undone_in(all_own, other, common); theirs_only > 0) {
    if (ask_about_undo(questions, other, common, theirs_only, false) == MergeSide::Mine)
      return rewound(theirs, other, common + theirs_only);
  }
  return start;
}

}  // namespace spile::db
