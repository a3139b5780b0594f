// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Readily accessible, accessible, or not, in the words of EN ISO 9093:2021.
class AccessRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "access"; }
  [[nodiscard]] std::string_view title() const override { return "Access"; }
  [[nodiscard]] std::string_view question() const override {
    return "Who can reach it, how fast, and with what?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
