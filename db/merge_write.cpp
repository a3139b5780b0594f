#include "db/merge_write.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "db/merge_words.hpp"

namespace spile::db {
namespace {

// What differs between a table as it is in mine and as it will be.
struct Changes {
  std::vector<std::int64_t> added, changed, removed;
};

Changes changes_of(const Records& mine, const Records& merged) {
  Changes changes;
  for (const auto& [number, record] : merged) {
    const auto found = mine.find(number);
    if (found == mine.end()) {
      changes.added.push_back(number);
    } else if (!(found->second == record)) {
      changes.changed.push_back(number);
    }
  }
  for (const auto& [number, record] : mine)
    if (merged.count(number) == 0) changes.removed.push_back(number);
  return changes;
}

// Tags that change hands pass through one that nobody carries: they are unique at every moment.
void free_tags(SQLite::Database& db, const MergeTable& t, const Records& merged) {
  const auto column = t.table.column("tag");
  for (const auto number : changes_of(t.mine, merged).changed) {
    if (t.mine.at(number).cells[column] == merged.at(number).cells[column]) continue;
    auto record = t.mine.at(number);
    record.cells[column] = fmt::format("merging-{}", number);
    write_record(db, t.table, number, record, true);
  }
}

// A recorded measurement is never edited but for its withdrawal: one whose chain changes is taken out and put
// in again. With all that corrects it, since a step of undo must leave no reference to nothing.
std::vector<std::int64_t> recorded_anew(const MergeTable& t, const Records& merged) {
  const auto withdrawn = t.table.column("withdrawn_at_utc"), supersedes = t.table.column("supersedes");
  std::set<std::int64_t> anew;
  for (const auto number : changes_of(t.mine, merged).changed) {
    auto as_was = merged.at(number);
    as_was.cells[withdrawn] = t.mine.at(number).cells[withdrawn];
    if (!(as_was == t.mine.at(number))) anew.insert(number);
  }
  for (const auto& [number, record] : t.mine) {  // corrections have higher numbers than what they correct
    const auto* corrected = std::get_if<std::int64_t>(&record.cells[supersedes]);
    if (corrected != nullptr && anew.count(*corrected) > 0) anew.insert(number);
  }
  return {anew.begin(), anew.end()};
}

void place_photos(const MergeStates& states, Merged& merged,
                  const std::map<std::int64_t, std::int64_t>& ids) {
  for (const auto& t : states.tables) {
    for (std::size_t c = 0; c < t.table.columns.size(); ++c) {
      if (t.table.refers[c] != "photo") continue;
      for (auto& [number, record] : merged[t.table.name])
        if (auto* photo = std::get_if<std::int64_t>(&record.cells[c]); photo != nullptr && *photo < 0)
          *photo = ids.at(*photo);
    }
  }
}

void write_the_rest(SQLite::Database& db, const MergeStates& states, const Merged& merged,
                    const std::vector<std::int64_t>& anew) {
  const std::set<std::int64_t> taken_out(anew.begin(), anew.end());
  const auto is_out = [&](const MergeTable& t, std::int64_t number) {
    return t.table.name == "measurement" && taken_out.count(number) > 0;
  };
  for (auto t = states.tables.rbegin(); t != states.tables.rend(); ++t)
    for (const auto number : changes_of(t->mine, merged.at(t->table.name)).removed)
      if (!is_out(*t, number)) delete_record(db, t->table, number);
  for (const auto& t : states.tables) {
    const auto& records = merged.at(t.table.name);
    const auto changes = changes_of(t.mine, records);
    for (const auto number : changes.changed)
      if (!is_out(t, number)) write_record(db, t.table, number, records.at(number), true);
    for (const auto number : changes.added) write_record(db, t.table, number, records.at(number), false);
    if (t.table.name != "measurement") continue;
    for (const auto number : anew)
      if (records.count(number) > 0) write_record(db, t.table, number, records.at(number), false);
  }
}

}  // namespace

std::vector<MergeCount> counts_of(const MergeStates& states, const Merged& merged) {
  std::vector<MergeCount> counts;
  for (const auto& t : states.tables) {
    const auto changes = changes_of(t.mine, merged.at(t.table.name));
    const int added = static_cast<int>(changes.added.size()),
              changed = static_cast<int>(changes.changed.size()),
              removed = static_cast<int>(changes.removed.size());
    if (added + changed + removed > 0)
      counts.push_back({noun_of(t.table.name, 1), noun_of(t.table.name, 2), added, changed, removed});
  }
  return counts;
}

void write_merged(SQLite::Database& db, RecordedEdit& edit, const MergeStates& states, Merged merged,
                  const std::map<std::int64_t, std::int64_t>& photo_ids) {
  place_photos(states, merged, photo_ids);
  const auto& measurements = states.of("measurement");
  const auto anew = recorded_anew(measurements, merged["measurement"]);
  // Checked when it is committed: records are written in the order of their tables, not of their references.
  db.exec("PRAGMA defer_foreign_keys = ON");
  edit.rows_step([&] { free_tags(db, states.of("opening"), merged["opening"]); });
  edit.rows_step([&] {
    for (auto number = anew.rbegin(); number != anew.rend(); ++number)
      delete_record(db, measurements.table, *number);
  });
  edit.rows_step([&] { write_the_rest(db, states, merged, anew); });
}

}  // namespace spile::db
