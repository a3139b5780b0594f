// One visit on one date, and what was seen of one opening in it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/ids.hpp"

namespace spile::model {

enum class Afloat { Ashore, Afloat };

struct Survey {
  SurveyId id;
  std::string date;   // civil date, ISO 8601: 2026-04-12
  std::string title;  // "Spring 2026"
  std::string surveyor;
  Afloat afloat = Afloat::Ashore;
  std::string notes;
};

enum class Seen { NotLookedAt, ToBeConfirmed, Looked };
enum class Condition { Unknown, Sound, Worn, Poor, Failed };
enum class Waterline { Unknown, Below, WettedWhenHeeled, Above };  // as seen by eye, beside the computed zone
enum class ValveState { Unknown, None, Works, Stiff, Seized };
enum class Backing { Unknown, None, Present };
enum class Plug { Unknown, None, Tied };  // tapered softwood plug

struct Observation {
  ObservationId id;
  OpeningId opening;
  SurveyId survey;
  Seen seen = Seen::NotLookedAt;
  Condition condition = Condition::Unknown;
  Waterline waterline = Waterline::Unknown;
  std::string fitting_material;  // key of assets/tables/materials.csv, or empty: as the fitting's record
  std::string valve_kind;        // key of assets/tables/valve_kinds.csv, or empty: not known
  ValveState valve = ValveState::Unknown;
  Backing backing = Backing::Unknown;
  std::string backing_material;  // key of assets/tables/backing_materials.csv, or empty
  std::optional<double> backing_thickness_mm;
  std::vector<std::string> findings;  // keys of assets/tables/findings.csv, each once
  std::optional<double> clips;        // hose clips on the tail, 0 to 9
  Plug plug = Plug::Unknown;
  std::optional<double> bonding_ohm;  // from the fitting to the anode, >= 0
  std::string hose;                   // free text until runs are recorded
  std::string notes;
};

}  // namespace spile::model
