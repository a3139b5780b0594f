// Two references in one photo, checked against each other; for this folder only.
#pragma once

#include <optional>
#include <string>

#include "vision/reference.hpp"

namespace spile::vision {

struct ReferenceCheck {
  FoundReference reference;  // the first, its scale more doubtful where the two disagree
  std::string agreed;        // a sentence, or empty
};

// Compares a length on the second as both have it, within their combined 95 % intervals. Where they disagree
// a warning says so and the interval reaches over both; far off it is a refusal, ambiguous-reference.
[[nodiscard]] Expected<ReferenceCheck> checked_against(const FoundReference& first,
                                                       const FoundReference& second);

}  // namespace spile::vision
