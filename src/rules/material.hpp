// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Whether the fitting's material lasts in its zone and beside the hull and the block it sits on.
class MaterialRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "material"; }
  [[nodiscard]] std::string_view title() const override { return "Material"; }
  [[nodiscard]] std::string_view question() const override {
    return "Do body, valve and tail last here, side by side?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
