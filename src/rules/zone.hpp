// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Below the waterline, under water when heeled, or above; or too close to tell.
class ZoneRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "zone"; }
  [[nodiscard]] std::string_view title() const override { return "Zone"; }
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
