// Two logbooks that began as one and were both worked on since, brought together.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace spile::db {

// Both: only where each added an opening under one tag, and they are two openings.
enum class MergeSide { Mine, Theirs, Both };

// One thing that both changed, each in its own way. `key` names it, the same whichever logbook is "mine".
struct MergeConflict {
  std::string key;                   // e.g. "P-03: height (mm)"
  std::string before, mine, theirs;  // as shown to people; empty: nothing recorded
  bool both_possible = false;
};

using MergeChoices = std::map<std::string, MergeSide>;  // by MergeConflict::key

struct MergeCount {
  std::string noun, nouns;  // "opening", "openings"
  int added = 0, changed = 0, removed = 0;

  [[nodiscard]] const std::string& noun_for(int count) const { return count == 1 ? noun : nouns; }
};

struct MergeOutcome {
  std::vector<MergeConflict> open;     // nothing is changed while one of these is not chosen
  std::vector<MergeConflict> decided;  // by the choices that were given
  std::vector<MergeCount> counts;      // what it changes in mine; only kinds with something to say
  int photos = 0;                      // originals that came along
  std::vector<std::string> unused;     // choices that name no conflict
  bool written = false;                // false also where there was nothing to change
};

}  // namespace spile::db
