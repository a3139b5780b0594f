// Inside of src/rules: one remedy, a run made of one size all the way, and what it shares with the others.
#pragma once

#include "rules/run_remedies.hpp"

namespace spile::rules {

// Part by part from the hull inward, since what sits in the hull is the last one wants to change. Nothing
// where the parts are not made in that size.
[[nodiscard]] std::optional<Remedy> of_one_size(const RemedyCase& facts, const NominalStep& size);

// The size an end goes by; null where it has none.
[[nodiscard]] const NominalStep* step_of(const PartEnd& end);
[[nodiscard]] bool of_size(const PartEnd& end, const NominalStep& size);
[[nodiscard]] double work_of(
    PartKind kind);  // of getting at one part and changing it, in hose ends; common practice
[[nodiscard]] std::string size_text(const NominalStep& size);  // "1 in (25 mm hose)"

// Puts a chain of stocked parts behind the last part of `after`: its step, what to buy, its work.
void add_chain(Remedy& remedy, const Chain& chain, PlacedRun& after, const PlacedPart& next);

}  // namespace spile::rules
