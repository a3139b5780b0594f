// Inside of src/rules: which stocked hole saw cuts the hole a stem wants. mm.
#pragma once

#include <optional>

#include "rules/tables.hpp"

namespace spile::rules {

struct SawChoice {
  const HoleSaw* saw = nullptr;
  double cut_mm = 0, u95 = 0;  // what it cuts by hand
  double clearance_mm = 0;     // of the stem in that hole
};

// The stocked saw whose cut leaves the clearance nearest the middle of what to aim for; nothing where none
// leaves an allowed one.
[[nodiscard]] std::optional<SawChoice> saw_for(double stem_mm, const Tables& tables);
// The largest saw that still enters a hole: it guides a bigger one on the same arbor.
[[nodiscard]] const HoleSaw* guide_saw(double hole_mm, const Tables& tables);

}  // namespace spile::rules
