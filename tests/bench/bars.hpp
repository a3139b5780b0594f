// The bars measuring is held to, and what was measured against each, as Markdown.
#pragma once

#include <string>
#include <vector>

#include "photo_sets.hpp"

namespace spile::bench {

struct BarRow {
  std::string what, bar, stretch;
  std::string measured;  // as text, with its unit
  bool passed = false, stretched = false;
};

// Rows of the sets that are there; none for a set that is not.
[[nodiscard]] std::vector<BarRow> bar_rows(const PhotoSets& sets);

[[nodiscard]] std::string markdown(const std::vector<BarRow>& rows);

// Every set: pictures, answers, errors, intervals, and the two plain methods on the same things.
[[nodiscard]] std::string side_by_side(const PhotoSets& sets);

[[nodiscard]] std::string notes_of(const PhotoSets& sets);

}  // namespace spile::bench
