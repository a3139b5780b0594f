// Inside of src/rules: the one list of rules is in judge.cpp.
#pragma once

#include "rules/rule.hpp"

namespace spile::rules {

// Whether the measured hole takes the fitting's stem, how to open it up or close it, and whether the flange
// still covers what is chipped or out of round.
class SizeRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "size"; }
  [[nodiscard]] std::string_view title() const override { return "Hole and fitting"; }
  [[nodiscard]] std::string_view question() const override {
    return "Does the fitting go in, which saw or sanding does it take, and does its flange cover the edge?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

// Whether the thread is long enough for hull, block, bedding and nut, and what to cut it to.
class ThreadLengthRule final : public Rule {
 public:
  [[nodiscard]] std::string_view key() const override { return "thread-length"; }
  [[nodiscard]] std::string_view title() const override { return "Thread length"; }
  [[nodiscard]] std::string_view question() const override {
    return "Is the stem long enough for hull, block, bedding and nut, and what is it cut to?";
  }
  [[nodiscard]] std::span<const std::string_view> goes_by() const override;
  [[nodiscard]] Verdict judge(const Case& facts, const Tables& tables,
                              std::span<const Verdict> earlier) const override;
};

}  // namespace spile::rules
