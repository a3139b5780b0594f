// One hole through the hull and the fitting in it. Heights in mm above the waterline at rest (negative: under
// water).
#pragma once

#include <optional>
#include <string>

#include "model/ids.hpp"
#include "model/vessel.hpp"

namespace spile::model {

enum class Side { Port, Starboard, Centreline };

struct Opening {
  OpeningId id;
  std::string tag;      // the user's own, unique in the logbook: "P-03"
  std::string service;  // key of a row in assets/tables/services.csv
  Side side = Side::Port;
  std::optional<double> from_bow_mm;      // along the hull
  std::optional<double> height_mm;        // lowest point of the hole above the waterline at rest
  std::optional<double> half_breadth_mm;  // from the centreline, >= 0
  HullConstruction construction = HullConstruction::Unknown;  // here; Unknown: as the vessel
  std::string notes;
};

// The fitting that sits in the opening now. Material is a key of assets/tables/materials.csv.
struct Fitting {
  FittingId id;
  OpeningId opening;
  std::string kind;  // key of assets/tables/fitting_kinds.csv
  std::string material;
  std::string nominal_size;  // as the trade says it: "1-1/2 in", "38 mm"
  std::string thread;        // key of assets/tables/threads.csv, or empty
  std::string fitted;        // year or date, free text
  std::string notes;
};

}  // namespace spile::model
