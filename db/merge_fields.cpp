#include "db/merge_fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "db/merge_words.hpp"

namespace spile::db {
namespace {

// What a field holds where nobody has said anything yet.
bool says_nothing(const Value& value) {
  if (std::holds_alternative<std::monostate>(value)) return true;
  const auto* text = std::get_if<std::string>(&value);
  static constexpr std::array kNothing{"", "unknown", "not-looked-at", "to-be-confirmed"};
  return text != nullptr && std::find(kNothing.begin(), kNothing.end(), *text) != kNothing.end();
}

class OneRecord {
 public:
  OneRecord(const MergeStates& states, const MergeTable& t, std::int64_t number, const MergeFates& fates,
            MergeQuestions& questions)
      : states_(states),
        t_(t),
        number_(number),
        fates_(fates),
        questions_(questions),
        base_(t.base.count(number) > 0 ? &t.base.at(number) : nullptr),
        mine_(t.mine.at(number)),
        theirs_(t.theirs.at(number)) {}

  [[nodiscard]] Record merged() {
    if (base_ == nullptr && t_.table.name == "opening" && !(mine_ == theirs_)) return one_of_two();
    Record out = mine_;
    for (std::size_t c = 0; c < t_.table.columns.size(); ++c) out.cells[c] = cell(c);
    for (std::size_t p = 0; p < t_.table.parts.size(); ++p) out.parts[p] = part(p);
    return out;
  }

 private:
  // Two added an opening under one tag: either the same one, described twice, or two.
  [[nodiscard]] Record one_of_two() {
    const auto tag = std::get<std::string>(mine_.cells[t_.table.column("tag")]);
    const auto& first = std::min(tag, std::get<std::string>(theirs_.cells[t_.table.column("tag")]));
    const auto side = questions_.ask({added_twice(first), "", differing(mine_), differing(theirs_), true});
    return side == MergeSide::Theirs ? theirs_ : mine_;
  }

  [[nodiscard]] std::string differing(const Record& record) const {
    std::string words;
    for (std::size_t c = 0; c < t_.table.columns.size(); ++c) {
      if (mine_.cells[c] == theirs_.cells[c]) continue;
      const auto value = value_words(states_, t_, c, record.cells[c]);
      words += fmt::format("{}{}: {}", words.empty() ? "" : ", ", field_words(t_.table.columns[c]),
                           value.empty() ? "–" : value);
    }
    return words;
  }

  // A field emptied because what it referred to was taken out is as it was when that stays.
  [[nodiscard]] const Value& as_meant(const Value& value, std::size_t c) const {
    if (base_ == nullptr || !t_.table.refers[c] || !std::holds_alternative<std::monostate>(value))
      return value;
    const auto* before = std::get_if<std::int64_t>(&base_->cells[c]);
    return before != nullptr && fates_.restored(*t_.table.refers[c], *before) ? base_->cells[c] : value;
  }

  [[nodiscard]] Value cell(std::size_t c) {
    const auto &mine = as_meant(mine_.cells[c], c), &theirs = as_meant(theirs_.cells[c], c);
    if (mine == theirs) return mine;
    if (t_.table.columns[c] == "withdrawn_at_utc") return earlier(mine, theirs);
    if (base_ != nullptr ? mine == base_->cells[c] : says_nothing(mine)) return theirs;
    if (base_ != nullptr ? theirs == base_->cells[c] : says_nothing(theirs)) return mine;
    const auto words = [&](const Value& value) { return value_words(states_, t_, c, value); };
    const auto side =
        questions_.ask({fmt::format("{}: {}", called(states_, t_, number_), field_words(t_.table.columns[c])),
                        base_ == nullptr ? "" : words(base_->cells[c]), words(mine), words(theirs), false});
    return side == MergeSide::Theirs ? theirs : mine;
  }

  // Withdrawn by either is withdrawn, since the first of them said so.
  static Value earlier(const Value& a, const Value& b) {
    if (std::holds_alternative<std::monostate>(a)) return b;
    return std::holds_alternative<std::monostate>(b) ? a : std::min(a, b);
  }

  // The parts of a run make sense together only.
  [[nodiscard]] std::vector<Row> part(std::size_t p) {
    const auto &mine = mine_.parts[p], &theirs = theirs_.parts[p];
    if (mine == theirs || (base_ != nullptr && theirs == base_->parts[p])) return mine;
    if (base_ != nullptr && mine == base_->parts[p]) return theirs;
    const auto counted = [](const std::vector<Row>& rows) { return fmt::format("{} of them", rows.size()); };
    const auto side = questions_.ask({called(states_, t_, number_) + ": parts",
                                      base_ == nullptr ? "" : counted(base_->parts[p]), counted(mine),
                                      counted(theirs), false});
    return side == MergeSide::Theirs ? theirs : mine;
  }

  const MergeStates& states_;
  const MergeTable& t_;
  std::int64_t number_;
  const MergeFates& fates_;
  MergeQuestions& questions_;
  const Record* base_;
  const Record& mine_;
  const Record& theirs_;
};

}  // namespace

Record merged_fields(const MergeStates& states, const MergeTable& table, std::int64_t number,
                     const MergeFates& fates, MergeQuestions& questions) {
  return OneRecord(states, table, number, fates, questions).merged();
}

}  // namespace spile::db
