// Inside of src/rules: the stem that is to pass through the hole: of the fitting to go in next where one is
// planned, else of the one recorded. mm.
#pragma once

#include <optional>
#include <string>

#include "rules/rule.hpp"

namespace spile::rules {

struct Stem {
  double diameter_mm = 0, u95 = 0;
  std::string how;     // "as measured", "usual for 1 in, straight pipe thread"
  std::string source;  // of a usual size; empty where measured
};
[[nodiscard]] std::optional<Stem> stem_of(const Case& facts, const Tables& tables);

// As the trade says it: the next one's size where one is planned. Empty where not recorded.
[[nodiscard]] std::string size_to_fit(const Case& facts);
[[nodiscard]] bool replacement_planned(const Case& facts);

// Least and most the flange may measure across; equal where it was measured.
struct FlangeSpan {
  double least_mm = 0, most_mm = 0, u95 = 0;
  std::string how;
};
[[nodiscard]] std::optional<FlangeSpan> flange_to_fit(const Case& facts, const Tables& tables);

}  // namespace spile::rules
