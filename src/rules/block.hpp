// Inside of src/rules: the backing block that is there, and the one to fit.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "metrology/decision.hpp"
#include "rules/rule.hpp"

namespace spile::rules {

struct BlockFound {
  bool present = false;
  // Met: it reinforces; not met: it does not; absent: not enough is recorded to say. Nothing where none is
  // present.
  std::optional<metrology::Conformity> serves;
  double thickness_mm = 0;         // where `serves` says anything
  std::optional<double> width_mm;  // where measured
  bool conditional = false;        // it serves, on a condition that `reasons` names
  Input input;
  std::vector<std::string> reasons, would_change, sources;
};

// `hull_mm`: thickness of the hull at the opening, where known.
[[nodiscard]] BlockFound judge_block(const Case& facts, const Tables& tables, std::optional<double> hull_mm);

struct BlockToFit {
  double thickness_mm = 0;
  std::optional<double> width_mm;  // absent while the flange is not known
  std::string in_words;            // "at least 13 mm thick and 125 mm across"
};
[[nodiscard]] BlockToFit block_to_fit(const Case& facts, const Tables& tables, std::optional<double> hull_mm);
// What to do with it, in order.
[[nodiscard]] std::vector<std::string> block_actions(const BlockToFit& block, const Tables& tables);

}  // namespace spile::rules
