// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Below the waterline, under water when heeled, or above; or too close to tell.
class ZoneRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "zone"; }
  [[nodiscard]] std::string_view title() const override { return "Zone"; }
  [[nodiscard]] std::string_view question() const override {
    return "Does it lie under water at rest, laden, or heeled?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
