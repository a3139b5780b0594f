#include "db/merge_tags.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "db/merge_words.hpp"

namespace spile::db {
namespace {

constexpr std::size_t kLongestTag = 40;  // as the schema says

class Tags {
 public:
  Tags(const MergeTable& t, Records& openings) : t_(t), openings_(openings), column_(t.table.column("tag")) {}

  [[nodiscard]] const std::string& tag(std::int64_t number) const {
    return std::get<std::string>(openings_.at(number).cells[column_]);
  }
  [[nodiscard]] std::map<std::string, std::vector<std::int64_t>> by_tag() const {
    std::map<std::string, std::vector<std::int64_t>> out;
    for (const auto& [number, record] : openings_) out[without_case(tag(number))].push_back(number);
    return out;
  }
  [[nodiscard]] bool carries_in(const Records& side, std::int64_t number) const {
    const auto found = side.find(number);
    return found != side.end() &&
           without_case(std::get<std::string>(found->second.cells[column_])) == without_case(tag(number));
  }
  void give_another(std::int64_t number) {
    const auto taken = by_tag();
    for (int n = 2;; ++n) {
      const auto suffix = fmt::format(" ({})", n);
      auto wanted = tag(number).substr(0, kLongestTag - suffix.size()) + suffix;
      if (taken.count(without_case(wanted)) > 0) continue;
      openings_.at(number).cells[column_] = std::move(wanted);
      return;
    }
  }

 private:
  const MergeTable& t_;
  Records& openings_;
  std::size_t column_;
};

}  // namespace

void settle_tags(const MergeStates& states, MergeQuestions& questions, Records& openings) {
  const auto& t = states.of("opening");
  Tags tags(t, openings);
  for (const auto& [folded, numbers] : tags.by_tag()) {
    if (numbers.size() != 2) continue;
    auto first = numbers[0], second = numbers[1];  // mine's and theirs'
    if (!tags.carries_in(t.mine, first) || tags.carries_in(t.mine, second)) std::swap(first, second);
    const bool added_by_both = t.base.count(first) + t.base.count(second) == 0;
    auto side = MergeSide::Mine;  // two that both added were chosen to be two
    if (!added_by_both) {
      const auto words = [&](std::int64_t number) {
        return t.base.count(number) == 0 ? std::string("a new opening")
                                         : fmt::format("the opening that was {}", called(states, t, number));
      };
      side = questions.ask(
          {fmt::format("{}: tag of two openings", folded), "", words(first), words(second), false});
    }
    tags.give_another(side == MergeSide::Theirs ? first : second);
  }
}

}  // namespace spile::db
