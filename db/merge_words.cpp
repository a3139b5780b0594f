#include "db/merge_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "db/text.hpp"
#include "model/names.hpp"

namespace spile::db {
namespace {

constexpr std::size_t kLongestShown = 120;

// By what both began with; of what only one or each added, the one that comes first in the alphabet, lest it
// be called otherwise from the other side.
const Record* any_of(const MergeTable& t, std::int64_t number) {
  for (const auto* records : {&t.base, &t.mine, &t.theirs})
    if (const auto found = records->find(number); found != records->end()) return &found->second;
  return nullptr;
}

std::string plain(const Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return fmt::format("{}", *whole);
  if (const auto* real = std::get_if<double>(&value)) return fmt::format("{:.6g}", *real);
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  return {};
}

class Namer {
 public:
  Namer(const MergeStates& states, const MergeTable& t, std::int64_t number)
      : states_(states), t_(t), record_(any_of(t, number)) {}

  [[nodiscard]] std::string text(std::string_view column) const {
    return record_ == nullptr ? "" : plain(record_->cells[t_.table.column(column)]);
  }
  [[nodiscard]] std::string other(std::string_view column, const std::string& table) const {
    const auto* number =
        record_ == nullptr ? nullptr : std::get_if<std::int64_t>(&record_->cells[t_.table.column(column)]);
    return number == nullptr ? "" : called(states_, states_.of(table), *number);
  }
  [[nodiscard]] std::string photo() const {
    const auto* number = std::get_if<std::int64_t>(&record_->cells[t_.table.column("photo_id")]);
    return number == nullptr ? "" : states_.photos.name.at(*number);
  }

 private:
  const MergeStates& states_;
  const MergeTable& t_;
  const Record* record_;
};

std::string quantity_words(const std::string& key) {
  const auto quantity = model::from_key<model::Quantity>(key);
  return quantity ? std::string(model::label(*quantity)) : key;
}

}  // namespace

std::string called(const MergeStates& states, const MergeTable& t, std::int64_t number) {
  const Namer n(states, t, number);
  const auto& table = t.table.name;
  if (table == "vessel" || table == "bilge") return fmt::format("the {}", table);
  if (table == "opening") return n.text("tag");
  if (table == "survey")
    return fmt::format("survey of {}{}{}", n.text("date"), n.text("title").empty() ? "" : " ",
                       n.text("title"));
  if (table == "fitting") return fmt::format("{}, fitting", n.other("opening_id", "opening"));
  if (table == "observation")
    return fmt::format("{}, {}", n.other("opening_id", "opening"), n.other("survey_id", "survey"));
  if (table == "measurement")
    return fmt::format("{}, {} of {}", n.other("opening_id", "opening"), quantity_words(n.text("quantity")),
                       n.text("made_at_utc"));
  if (table == "photo_use") return fmt::format("photo {}, {}", n.photo(), n.other("survey_id", "survey"));
  if (table == "run") return fmt::format("{}, run {}", n.other("opening_id", "opening"), n.text("name"));
  if (table == "yard_table") return n.text("name");
  if (table == "camera_profile") return fmt::format("camera {}", n.text("camera"));
  return fmt::format("{} {}", noun_of(table, 1), number);
}

std::string field_words(const std::string& column) {
  static constexpr std::array kUnits{"mm", "deg", "lpm", "m2", "litres", "s", "ohm", "px"};
  std::string words = column, unit;
  if (words.size() > 3 && words.substr(words.size() - 3) == "_id") words.resize(words.size() - 3);
  for (const std::string known_unit : kUnits) {
    const auto at = words.size() - std::min(words.size(), known_unit.size() + 1);
    if (at > 0 && words.substr(at) == "_" + known_unit) {
      words.resize(at);
      unit = known_unit == "m2" ? "m²" : known_unit == "lpm" ? "l/min" : known_unit;
      break;
    }
  }
  std::replace(words.begin(), words.end(), '_', ' ');
  return unit.empty() ? words : fmt::format("{} ({})", words, unit);
}

std::string value_words(const MergeStates& states, const MergeTable& t, std::size_t column,
                        const Value& value) {
  const auto* number = std::get_if<std::int64_t>(&value);
  if (number != nullptr && t.table.refers[column]) {
    if (*t.table.refers[column] == "photo") return states.photos.name.at(*number);
    return called(states, states.of(*t.table.refers[column]), *number);
  }
  const auto words = plain(value);
  return words.size() <= kLongestShown ? words : valid_utf8(words.substr(0, kLongestShown)) + " …";
}

std::string noun_of(const std::string& table, int count) {
  auto noun = table == "photo_use" ? std::string("filed photo") : table;
  std::replace(noun.begin(), noun.end(), '_', ' ');
  if (count == 1 || noun == "bilge") return noun;
  return noun + "s";
}

}  // namespace spile::db
