#include "db/merge_ask.hpp"

#include <fmt/format.h>

namespace spile::db {

MergeSide MergeQuestions::ask(MergeConflict conflict) {
  const auto key = conflict.key;
  for (int n = 2; !asked_.insert(conflict.key).second; ++n) conflict.key = fmt::format("{} ({})", key, n);
  const auto choice = choices_.find(conflict.key);
  const bool chosen = choice != choices_.end();
  (chosen ? decided_ : open_).push_back(std::move(conflict));
  return chosen ? choice->second : MergeSide::Mine;
}

std::vector<std::string> MergeQuestions::unused() const {
  std::vector<std::string> keys;
  for (const auto& [key, side] : choices_)
    if (asked_.count(key) == 0) keys.push_back(key);
  return keys;
}

}  // namespace spile::db
