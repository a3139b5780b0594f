// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// How hard the fitting is to take out, from bedding, material, kind, findings and age.
class RemovalRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "removal"; }
  [[nodiscard]] std::string_view title() const override { return "Taking it out"; }
  [[nodiscard]] std::string_view question() const override {
    return "How hard is it to take out, what breaks, and which way to go about it?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
