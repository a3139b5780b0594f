// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Height of the stack and bend of the hose against the clear room measured inside.
class RoomRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "room"; }
  [[nodiscard]] std::string_view title() const override { return "Room inside"; }
  [[nodiscard]] std::string_view question() const override {
    return "Does a straight tail fit, an elbow, or neither, and can a spanner turn the nut?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
