// The questions of a merge, and the choices that answer them.
#pragma once

#include <set>
#include <string>

#include "db/merge.hpp"

namespace spile::db {

class MergeQuestions {
 public:
  explicit MergeQuestions(const MergeChoices& choices) : choices_(choices) {}

  // The side chosen; Mine for the time being where nobody has chosen yet. A key that was asked under before
  // gets a number.
  MergeSide ask(MergeConflict conflict);
  [[nodiscard]] const std::vector<MergeConflict>& open() const { return open_; }
  [[nodiscard]] const std::vector<MergeConflict>& decided() const { return decided_; }
  [[nodiscard]] std::vector<std::string> unused() const;

 private:
  const MergeChoices& choices_;
  std::vector<MergeConflict> open_, decided_;
  std::set<std::string> asked_;
};

}  // namespace spile::db
