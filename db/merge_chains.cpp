#include "db/merge_chains.hpp"

#include <fmt/format.h>

#include "db/merge_words.hpp"

namespace spile::db {
namespace {

constexpr const char* kWhy =
    "Another correction of the same value was chosen when two logbooks were brought together.";

class Chains {
 public:
  Chains(const MergeTable& t, Records& records)
      : records_(records),
        supersedes_(t.table.column("supersedes")),
        made_(t.table.column("made_at_utc")),
        withdrawn_(t.table.column("withdrawn_at_utc")),
        note_(t.table.column("note")),
        value_(t.table.column("value")),
        u95_(t.table.column("u95")) {}

  [[nodiscard]] std::map<std::int64_t, std::vector<std::int64_t>> corrections() const {
    std::map<std::int64_t, std::vector<std::int64_t>> out;
    for (const auto& [number, record] : records_)
      if (const auto* of = std::get_if<std::int64_t>(&record.cells[supersedes_])) out[*of].push_back(number);
    return out;
  }
  [[nodiscard]] std::string words(std::int64_t number) const {
    const auto& cells = records_.at(number).cells;
    return fmt::format("{:.6g} ± {:.2g}", std::get<double>(cells[value_]), std::get<double>(cells[u95_]));
  }
  // With all that corrects it in turn.
  void set_aside(std::int64_t loser, std::int64_t winner) {
    auto& cells = records_.at(loser).cells;
    cells[supersedes_] = Value();
    auto& note = std::get<std::string>(cells[note_]);
    note += fmt::format("{}{}", note.empty() ? "" : " ", kWhy);
    const auto when = records_.at(winner).cells[made_];
    const auto further = corrections();
    for (auto number = loser;; number = further.at(number).front()) {
      auto& withdrawn = records_.at(number).cells[withdrawn_];
      if (std::holds_alternative<std::monostate>(withdrawn)) withdrawn = when;
      if (further.count(number) == 0) return;
    }
  }

 private:
  Records& records_;
  std::size_t supersedes_, made_, withdrawn_, note_, value_, u95_;
};

}  // namespace

void settle_corrections(const MergeStates& states, MergeQuestions& questions, Records& measurements) {
  const auto& t = states.of("measurement");
  Chains chains(t, measurements);
  for (const auto& [corrected, both] : chains.corrections()) {
    if (both.size() != 2) continue;
    const bool first_is_mine = t.mine.count(both[0]) > 0;
    const auto mine = both[first_is_mine ? 0 : 1], theirs = both[first_is_mine ? 1 : 0];
    const auto side = questions.ask({called(states, t, corrected) + ": correction", chains.words(corrected),
                                     chains.words(mine), chains.words(theirs), false});
    const bool theirs_stands = side == MergeSide::Theirs;
    chains.set_aside(theirs_stands ? mine : theirs, theirs_stands ? theirs : mine);
  }
}

}  // namespace spile::db
