// Inside of src/rules: what a verdict says of the side load at the fitting, and of the seat on a curved hull.
#pragma once

#include <optional>
#include <string_view>

#include "rules/block.hpp"
#include "rules/rule.hpp"

namespace spile::rules {

// The skin the fitting stands in, mm; `words` follow its thickness: "of solid laminate carries".
struct SkinSeen {
  const BlockFound& block;
  std::optional<double> hull_mm;
  double thickness_mm = 0, u95 = 0;
  std::string_view words;
};

// Whether the skin alone carries the asked load, or fails it, with its whole interval; neither: too close to
// tell, or no flange to go by.
struct LoadVerdict {
  bool carries = false, fails = false;
};
// Adds the load check to the verdict's reasons, with its sources.
LoadVerdict explain_load(Verdict& verdict, const Case& facts, const Tables& tables, const SkinSeen& skin);

// Adds what the base presses into wood under it, where the block or the hull is of wood.
void explain_crush(Verdict& verdict, const Case& facts, const Tables& tables, std::optional<double> hull_mm);

// Adds how far a flat seat stands off a curved hull, and what to do about it.
void explain_seat(Verdict& verdict, const Case& facts, const Tables& tables, std::optional<double> hull_mm);

}  // namespace spile::rules
