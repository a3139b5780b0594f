#include "rules/heel.hpp"

#include <fmt/format.h>

#include "model/heel.hpp"
#include "model/names.hpp"
#include "rules/wording.hpp"

namespace spile::rules {

using units::Degree;
using units::Millimetre;

WorstHeel worst_heel(const model::Vessel& vessel, const Tables& tables) {
  if (vessel.heel_deg) return {Degree(*vessel.heel_deg), "as recorded for the vessel", {}};
  const auto& usual = tables.threshold("heel." + std::string(model::key(vessel.type)));
  WorstHeel heel{Degree(usual.value),
                 fmt::format("the usual worst heel of a {}", lower_first(model::label(vessel.type))),
                 usual.source};
  const double freeboard = vessel.freeboard_mm.value_or(0) - vessel.loaded_sinkage_mm;
  const bool sheer_counts = vessel.type == model::VesselType::SailMonohull && freeboard > 0;
  if (!sheer_counts || vessel.beam_mm.value_or(0) <= 0) return heel;
  const auto sheer = model::sheer_immersion_heel(Millimetre(freeboard), Millimetre(*vessel.beam_mm / 2));
  if (sheer < heel.angle) {
    heel.angle = sheer;
    heel.why =
        fmt::format("where the sheer meets the water, before the usual {}°", plain_number(usual.value));
  }
  return heel;
}

}  // namespace spile::rules
