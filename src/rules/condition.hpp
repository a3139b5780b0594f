// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// One condition and one urgency out of what was seen and what the other rules say; the worst reason first.
class ConditionRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "condition"; }
  [[nodiscard]] std::string_view title() const override { return "Condition and urgency"; }
  [[nodiscard]] std::string_view question() const override {
    return "What was found, and how soon must something be done?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
