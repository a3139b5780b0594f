// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Whether the hull carries the fitting as it is, or needs a backing block, or its core closed out.
class ReinforcementRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "reinforcement"; }
  [[nodiscard]] std::string_view title() const override { return "Reinforcement"; }
  [[nodiscard]] std::string_view question() const override {
    return "Does the hull carry a fitting here, or does it need a backing block?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
