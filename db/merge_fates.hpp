// Which records stay when two logbooks are brought together.
#pragma once

#include <map>
#include <set>
#include <string>
#include <utility>

#include "db/merge_ask.hpp"
#include "db/merge_match.hpp"

namespace spile::db {

// What one took out goes, with all that belongs to it, unless the other worked on any of that since: then it
// is asked whether it goes or stays, once, for the topmost of them.
class MergeFates {
 public:
  MergeFates(const MergeStates& states, MergeQuestions& questions);
  [[nodiscard]] bool stays(const std::string& table, std::int64_t number) const;
  // Whether one of the two took it out, and it stays all the same.
  [[nodiscard]] bool restored(const std::string& table, std::int64_t number) const;

 private:
  using Key = std::pair<std::string, std::int64_t>;
  using State = Records MergeTable::*;

  void list_dependents(State side);
  [[nodiscard]] std::vector<Key> referred(const MergeTable& t, const Record& record, bool only_needed) const;
  [[nodiscard]] bool gone_in(const Key& key, State side) const;  // there at the start, and not any more
  [[nodiscard]] bool worked_on(const Key& key, State side);
  [[nodiscard]] Record as_it_will_be(const MergeTable& t, std::int64_t number) const;
  [[nodiscard]] bool decide(const Key& key);
  [[nodiscard]] bool decide_gone(const Key& key, State gone_in, State kept_in);
  [[nodiscard]] bool fate(const Key& key);

  const MergeStates& states_;
  MergeQuestions& questions_;
  std::map<std::string, const MergeTable*> tables_;
  std::map<Key, std::vector<Key>> dependents_of_mine_, dependents_of_theirs_;
  std::map<Key, bool> stays_;
  std::map<std::pair<Key, bool>, bool> worked_on_;
};

}  // namespace spile::db
