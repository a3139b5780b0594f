#include "db/merge_decide.hpp"

#include <fmt/format.h>

#include <set>

#include "db/merge_chains.hpp"
#include "db/merge_fates.hpp"
#include "db/merge_fields.hpp"
#include "db/merge_tags.hpp"
#include "db/merge_words.hpp"

namespace spile::db {
namespace {

const Record* find(const Records& records, std::int64_t number) {
  const auto found = records.find(number);
  return found == records.end() ? nullptr : &found->second;
}

std::set<std::int64_t> numbers_of(const MergeTable& t) {
  std::set<std::int64_t> numbers;
  for (const auto* records : {&t.base, &t.mine, &t.theirs})
    for (const auto& [number, record] : *records) numbers.insert(number);
  return numbers;
}

// What refers to a record that did not stay refers to nothing.
void let_go(const RecordTable& table, Record& record, const MergeFates& fates) {
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const auto* number = std::get_if<std::int64_t>(&record.cells[c]);
    if (number == nullptr || !table.refers[c] || fates.stays(*table.refers[c], *number)) continue;
    record.cells[c] = Value();
    if (table.columns[c] == "joins_run_id") record.cells[table.column("joins_behind_part")] = Value();
  }
}

void merge_table(const MergeStates& states, const MergeTable& t, const MergeFates& fates,
                 MergeQuestions& questions, Merged& out) {
  auto& merged = out[t.table.name];
  for (const auto number : numbers_of(t)) {
    if (!fates.stays(t.table.name, number)) continue;
    const auto *mine = find(t.mine, number), *theirs = find(t.theirs, number);
    Record record = mine != nullptr && theirs != nullptr ? merged_fields(states, t, number, fates, questions)
                                                         : *(mine != nullptr ? mine : theirs);
    let_go(t.table, record, fates);
    merged.emplace(number, std::move(record));
  }
}

// Two records that only now say the same, such as one photo filed at one opening by both, are one. The one
// both began with stays.
void merge_alike(const MergeTable& t, Records& records) {
  if (natural_key(t.table.name).empty() || t.table.name == "opening" || t.table.name == "survey") return;
  std::map<Row, std::int64_t> first;
  for (const bool began_with : {true, false}) {
    for (auto it = records.begin(); it != records.end();) {
      if ((t.base.count(it->first) > 0) != began_with) {
        ++it;
        continue;
      }
      const auto [there, added] = first.emplace(natural_key_of(t.table, it->second), it->first);
      it = added || there->second == it->first ? std::next(it) : records.erase(it);
    }
  }
}

}  // namespace

Merged decided(const MergeStates& states, MergeQuestions& questions) {
  Merged out;
  const MergeFates fates(states, questions);
  for (const auto& t : states.tables) merge_table(states, t, fates, questions, out);
  for (const auto& t : states.tables) merge_alike(t, out[t.table.name]);
  settle_tags(states, questions, out["opening"]);
  settle_corrections(states, questions, out["measurement"]);
  return out;
}

}  // namespace spile::db
