// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Whether the bedding recorded suits zone and material, and what to bed the next one in.
class BeddingRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "bedding"; }
  [[nodiscard]] std::string_view title() const override { return "Bedding"; }
  [[nodiscard]] std::string_view question() const override {
    return "Which compound beds it here, and which never?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
