#include "db/merge_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <functional>
#include <stdexcept>

namespace spile::db {
namespace {

using Numbers = std::map<std::int64_t, std::int64_t>;  // number by id

// The numbers of one table's records, by id, in each state.
struct TableNumbers {
  Numbers base, mine, theirs;
};

MergePhotos match_photos(const SQLite::Database& mine, const SQLite::Database& theirs) {
  MergePhotos out;
  std::map<std::string, std::int64_t> by_sha;
  SQLite::Statement own(mine, "SELECT id, sha256, original_name FROM photo");
  while (own.executeStep()) {
    by_sha[text_of(own, "sha256")] = int_of(own, "id");
    out.name[int_of(own, "id")] = text_of(own, "original_name");
  }
  SQLite::Statement other(theirs, "SELECT id, sha256, original_name FROM photo");
  while (other.executeStep()) {
    const auto found = by_sha.find(text_of(other, "sha256"));
    const auto number = found != by_sha.end() ? found->second : -int_of(other, "id");
    out.number_of_theirs[int_of(other, "id")] = number;
    out.name.emplace(number, text_of(other, "original_name"));
  }
  return out;
}

void renumber(const RecordTable& table, Records& records,
              const std::function<const Numbers*(const std::string&)>& of, bool own_table) {
  for (auto& [id, record] : records) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (!table.refers[c] || (*table.refers[c] == table.name) != own_table) continue;
      const auto* numbers = of(*table.refers[c]);
      auto* id_there = std::get_if<std::int64_t>(&record.cells[c]);
      if (numbers != nullptr && id_there != nullptr) *id_there = numbers->at(*id_there);
    }
  }
}

// Records without a natural key are the same when all they hold is: one that came along in an earlier merge.
struct Likeness {
  Row key, cells;
  std::vector<std::vector<Row>> parts;
  friend bool operator<(const Likeness& a, const Likeness& b) {
    return std::tie(a.key, a.cells, a.parts) < std::tie(b.key, b.cells, b.parts);
  }
};

// `numbers`: those of the records of this table that came before it; whatever else it refers to counts as
// one.
Likeness likeness(const RecordTable& table, std::int64_t id_of_it, const Record& record,
                  const Numbers& numbers) {
  if (!natural_key(table.name).empty()) return {natural_key_of(table, record), {}, {}};
  auto cells = record.cells;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    auto* id = std::get_if<std::int64_t>(&cells[c]);
    if (id == nullptr || table.refers[c] != table.name) continue;
    const auto known = numbers.find(*id);
    *id = known == numbers.end() || *id >= id_of_it ? -1 : known->second;
  }
  return {{}, std::move(cells), record.parts};
}

using Free = std::multimap<Likeness, std::int64_t>;

Free free_ones(const RecordTable& table, const Records& records, const Records& but_not,
               const Numbers& numbers) {
  Free free;
  for (const auto& [id, record] : records)
    if (but_not.count(id) == 0) free.emplace(likeness(table, id, record, numbers), id);
  return free;
}

std::optional<std::int64_t> take(Free& free, const Likeness& like) {
  const auto found = free.lower_bound(like);
  if (found == free.end() || like < found->first) return std::nullopt;
  const auto id = found->second;
  free.erase(found);
  return id;
}

bool meant_as_two(const RecordTable& table, const Record& record, const MergeChoices& choices) {
  if (table.name != "opening") return false;
  const auto key = without_case(added_twice(std::get<std::string>(record.cells[table.column("tag")])));
  return std::any_of(choices.begin(), choices.end(), [&](const auto& choice) {
    return choice.second == MergeSide::Both && without_case(choice.first) == key;
  });
}

// A record taken out and one like it put in since is one record that was changed.
void match_replaced(const RecordTable& table, const Records& base, const Records& side, Numbers& numbers) {
  // Nothing keeps two surveys from having one date and title: none takes the place of another.
  if (natural_key(table.name).empty() || table.name == "survey") return;
  Free gone = free_ones(table, base, side, {});
  for (const auto& [id, record] : side) {
    if (base.count(id) > 0) continue;
    if (const auto replaced = take(gone, likeness(table, id, record, {}))) numbers[id] = *replaced;
  }
}

TableNumbers number_records(const MergeTable& t, std::int64_t next, const MergeChoices& choices) {
  TableNumbers numbers;
  for (const auto& [id, record] : t.base) numbers.base[id] = id;
  for (const auto& [id, record] : t.mine) numbers.mine[id] = id;
  Numbers replaced_by_mine, replaced_by_theirs;
  match_replaced(t.table, t.base, t.mine, replaced_by_mine);
  match_replaced(t.table, t.base, t.theirs, replaced_by_theirs);
  for (const auto& [id, base_id] : replaced_by_mine) numbers.base[base_id] = id;
  Records began_with = t.base;  // and what took the place of that
  for (const auto& [id, base_id] : replaced_by_mine) began_with.emplace(id, t.mine.at(id));
  Free mine = free_ones(t.table, t.mine, began_with, numbers.mine);
  for (const auto& [id, record] : t.theirs) {
    if (t.base.count(id) > 0) {
      numbers.theirs[id] = numbers.base.at(id);
    } else if (const auto base_id = replaced_by_theirs.find(id); base_id != replaced_by_theirs.end()) {
      numbers.theirs[id] = numbers.base.at(base_id->second);
    } else if (const auto same = meant_as_two(t.table, record, choices)
                                     ? std::nullopt
                                     : take(mine, likeness(t.table, id, record, numbers.theirs))) {
      numbers.theirs[id] = *same;
    } else {
      numbers.theirs[id] = next++;
    }
  }
  return numbers;
}

Records keyed(Records records, const Numbers& numbers) {
  Records out;
  for (auto& [id, record] : records) out.emplace(numbers.at(id), std::move(record));
  return out;
}

std::int64_t first_free_id(const SQLite::Database& mine, const MergeTable& t) {
  std::int64_t highest = number(mine, "SELECT seq FROM sqlite_sequence WHERE name = ?", {t.table.name});
  for (const auto* records : {&t.base, &t.mine})
    if (!records->empty()) highest = std::max(highest, records->rbegin()->first);
  return highest + 1;
}

}  // namespace

const MergeTable& MergeStates::of(const std::string& table) const {
  return *std::find_if(tables.begin(), tables.end(), [&](const auto& t) { return t.table.name == table; });
}

MergeTable& MergeStates::of(const std::string& table) {
  return *std::find_if(tables.begin(), tables.end(), [&](const auto& t) { return t.table.name == table; });
}

std::string added_twice(const std::string& tag) {
  return fmt::format("{}: added by both", tag);
}

std::string without_case(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

const std::vector<std::string>& natural_key(const std::string& table) {
  static const std::map<std::string, std::vector<std::string>> keys{
      {"opening", {"tag"}},
      {"fitting", {"opening_id"}},
      {"survey", {"date", "title", "surveyor"}},
      {"observation", {"opening_id", "survey_id"}},
      {"photo_use", {"photo_id", "survey_id", "opening_id"}},
      {"yard_table", {"name"}}};
  static const std::vector<std::string> none;
  const auto found = keys.find(table);
  return found == keys.end() ? none : found->second;
}

Row natural_key_of(const RecordTable& table, const Record& record) {
  Row key;
  for (const auto& name : natural_key(table.name)) {
    auto cell = record.cells[table.column(name)];
    if (auto* tag = std::get_if<std::string>(&cell); tag != nullptr && name == "tag")
      *tag = without_case(*tag);
    key.push_back(std::move(cell));
  }
  return key;
}

MergeStates matched(const SQLite::Database& base, const SQLite::Database& mine,
                    const SQLite::Database& theirs, const MergeChoices& choices) {
  MergeStates out;
  out.photos = match_photos(mine, theirs);
  std::map<std::string, TableNumbers> all;
  for (auto& table : record_tables(mine)) {
    MergeTable t{table, read_table(base, table), read_table(mine, table), read_table(theirs, table)};
    const auto numbers_in = [&](Numbers TableNumbers::*state) {
      return [&all, &out, state](const std::string& name) -> const Numbers* {
        if (const auto found = all.find(name); found != all.end()) return &(found->second.*state);
        return name == "photo" && state == &TableNumbers::theirs ? &out.photos.number_of_theirs : nullptr;
      };
    };
    const auto renumber_all = [&](bool own_table) {
      renumber(t.table, t.base, numbers_in(&TableNumbers::base), own_table);
      renumber(t.table, t.mine, numbers_in(&TableNumbers::mine), own_table);
      renumber(t.table, t.theirs, numbers_in(&TableNumbers::theirs), own_table);
    };
    renumber_all(false);
    const bool only_one = table.name == "vessel" || table.name == "bilge";
    auto& numbers = all[table.name];
    if (only_one) {
      numbers = {{{1, 1}}, {{1, 1}}, {{1, 1}}};
    } else {
      numbers = number_records(t, first_free_id(mine, t), choices);
    }
    renumber_all(true);
    t.base = keyed(std::move(t.base), numbers.base);
    t.mine = keyed(std::move(t.mine), numbers.mine);
    t.theirs = keyed(std::move(t.theirs), numbers.theirs);
    out.tables.push_back(std::move(t));
  }
  return out;
}

}  // namespace spile::db
