#include "db/merge_fates.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "db/merge_words.hpp"

namespace spile::db {

MergeFates::MergeFates(const MergeStates& states, MergeQuestions& questions)
    : states_(states), questions_(questions) {
  for (const auto& t : states.tables) tables_[t.table.name] = &t;
  list_dependents(&MergeTable::mine);
  list_dependents(&MergeTable::theirs);
  for (const auto& t : states.tables)
    for (const auto* records : {&t.base, &t.mine, &t.theirs})
      for (const auto& [number, record] : *records) (void)fate({t.table.name, number});
}

bool MergeFates::stays(const std::string& table, std::int64_t number) const {
  const auto found = stays_.find({table, number});
  return found == stays_.end() || found->second;  // a photo, once kept, stays
}

bool MergeFates::restored(const std::string& table, std::int64_t number) const {
  const Key key{table, number};
  return tables_.count(table) > 0 && stays(table, number) &&
         (gone_in(key, &MergeTable::mine) || gone_in(key, &MergeTable::theirs));
}

void MergeFates::list_dependents(State side) {
  auto& list = side == &MergeTable::mine ? dependents_of_mine_ : dependents_of_theirs_;
  for (const auto& t : states_.tables)
    for (const auto& [number, record] : t.*side)
      for (const auto& key : referred(t, record, false)) list[key].emplace_back(t.table.name, number);
}

std::vector<MergeFates::Key> MergeFates::referred(const MergeTable& t, const Record& record,
                                                  bool only_needed) const {
  std::vector<Key> keys;
  for (std::size_t c = 0; c < t.table.columns.size(); ++c) {
    const auto* number = std::get_if<std::int64_t>(&record.cells[c]);
    if (number == nullptr || !t.table.refers[c] || *t.table.refers[c] == "photo") continue;
    const bool itself = *t.table.refers[c] == t.table.name;
    if (!only_needed || (t.table.needed[c] && !itself)) keys.emplace_back(*t.table.refers[c], *number);
  }
  return keys;
}

bool MergeFates::gone_in(const Key& key, State side) const {
  const auto& t = *tables_.at(key.first);
  return t.base.count(key.second) > 0 && (t.*side).count(key.second) == 0;
}

bool MergeFates::worked_on(const Key& key, State side) {
  const auto [known, first] = worked_on_.emplace(std::pair{key, side == &MergeTable::mine}, false);
  if (!first) return known->second;
  const auto& t = *tables_.at(key.first);
  const auto now = (t.*side).find(key.second);
  const auto before = t.base.find(key.second);
  bool worked = now != (t.*side).end() && (before == t.base.end() || !(before->second == now->second));
  const auto& list = side == &MergeTable::mine ? dependents_of_mine_ : dependents_of_theirs_;
  if (const auto dependents = list.find(key); !worked && dependents != list.end()) {
    worked = std::any_of(dependents->second.begin(), dependents->second.end(),
                         [&](const Key& dependent) { return worked_on(dependent, side); });
  }
  worked_on_[std::pair{key, side == &MergeTable::mine}] = worked;
  return worked;
}

bool MergeFates::fate(const Key& key) {
  const auto [known, first] = stays_.emplace(key, true);
  if (!first) return known->second;
  const bool stays = decide(key);
  stays_[key] = stays;
  return stays;
}

// What a record will refer to: where only one of them changed it, as that one has it.
Record MergeFates::as_it_will_be(const MergeTable& t, std::int64_t number) const {
  const auto base = t.base.find(number), mine = t.mine.find(number), theirs = t.theirs.find(number);
  if (mine == t.mine.end()) return theirs->second;
  Record out = mine->second;
  if (theirs == t.theirs.end() || base == t.base.end()) return out;
  for (std::size_t c = 0; c < out.cells.size(); ++c)
    if (out.cells[c] == base->second.cells[c]) out.cells[c] = theirs->second.cells[c];
  return out;
}

bool MergeFates::decide(const Key& key) {
  const auto& t = *tables_.at(key.first);
  const auto mine = t.mine.find(key.second), theirs = t.theirs.find(key.second);
  if (mine == t.mine.end() && theirs == t.theirs.end()) return false;
  if (gone_in(key, &MergeTable::mine)) return decide_gone(key, &MergeTable::mine, &MergeTable::theirs);
  if (gone_in(key, &MergeTable::theirs)) return decide_gone(key, &MergeTable::theirs, &MergeTable::mine);
  const auto needed = referred(t, as_it_will_be(t, key.second), true);
  return std::all_of(needed.begin(), needed.end(), [&](const Key& host) { return fate(host); });
}

bool MergeFates::decide_gone(const Key& key, State gone, State kept) {
  const auto& t = *tables_.at(key.first);
  const auto needed = referred(t, (t.*kept).at(key.second), true);
  const bool hosts_stay =
      std::all_of(needed.begin(), needed.end(), [&](const Key& host) { return fate(host); });
  // It went with what it belongs to, and comes back with it.
  const auto hosts = referred(t, t.base.at(key.second), false);
  bool with_host = false, all_hosts_stay = true;
  for (const auto& host : hosts) {
    if (!gone_in(host, gone)) continue;
    with_host = true;
    all_hosts_stay = all_hosts_stay && fate(host);
  }
  if (!hosts_stay) return false;
  if (with_host && all_hosts_stay) return true;
  if (!worked_on(key, kept)) return false;
  const bool gone_in_mine = gone == &MergeTable::mine;
  const std::string out = "taken out", worked = "worked on";
  const auto side = questions_.ask({called(states_, t, key.second) + ": taken out", "in the logbook",
                                    gone_in_mine ? out : worked, gone_in_mine ? worked : out, false});
  return (side == MergeSide::Mine) != gone_in_mine;
}

}  // namespace spile::db
