// The heel a vessel's openings are judged at.
#pragma once

#include <string>

#include "model/vessel.hpp"
#include "rules/tables.hpp"
#include "units/quantity.hpp"

namespace spile::rules {

struct WorstHeel {
  units::Degree angle;
  std::string why;     // "as recorded for the vessel", "the usual worst heel of a sailing monohull"
  std::string source;  // empty where somebody recorded it
};

// As recorded for the vessel; else the usual one for her type (EN ISO 9093:2021, clause 3), for a sailing
// monohull of known beam and freeboard no farther than where the sheer meets the laden water.
[[nodiscard]] WorstHeel worst_heel(const model::Vessel& vessel, const Tables& tables);

}  // namespace spile::rules
