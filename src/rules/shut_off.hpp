// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Whether the opening needs a seacock, and whether the one it has will shut.
class ShutOffRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "shut-off"; }
  [[nodiscard]] std::string_view title() const override { return "Shut-off"; }
  [[nodiscard]] std::string_view question() const override {
    return "Does it need a seacock, and does what it has count as one?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
