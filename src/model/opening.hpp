// One hole through the hull and the fitting in it. Heights in mm above the waterline at rest (negative: under
// water).
#pragma once

#include <optional>
#include <string>

#include "model/ids.hpp"
#include "model/vessel.hpp"

namespace spile::model {

enum class Side { Port, Starboard, Centreline };
// Readily: quickly and safely without tools. WithTools: without taking permanent structure apart.
// ByDismantling: not without it (EN ISO 9093:2021, clause 3).
enum class Reach { Unknown, Readily, WithTools, ByDismantling };

struct Opening {
  OpeningId id;
  std::string tag;      // the user's own, unique in the logbook: "P-03"
  std::string service;  // key of a row in assets/tables/services.csv
  Side side = Side::Port;
  std::optional<double> from_bow_mm;      // along the hull
  std::optional<double> height_mm;        // lowest point of the hole above the waterline at rest
  std::optional<double> half_breadth_mm;  // from the centreline, >= 0
  HullConstruction construction = HullConstruction::Unknown;  // here; Unknown: as the vessel
  std::optional<double> hull_radius_mm;  // of the hull's curve inside, the tightest way across; > 0
  std::optional<double> frame_mm;        // to the nearest frame, bulkhead or bonded stringer; > 0
  std::optional<double> clear_depth_mm;  // clear room inwards, square off the inside of the hull; > 0
  std::optional<double> clear_width_mm;  // clear room across, where a spanner has to turn; > 0
  Reach reach = Reach::Unknown;          // of its valve, or of the fitting where it has none
  std::optional<double> reach_s;         // seconds from the companionway to the valve shut; >= 0
  std::string notes;
};

// The fitting that is to go in next, as far as it has been chosen; empty where nothing is planned.
struct Replacement {
  std::string nominal_size, material;  // as in Fitting
  std::optional<double> shank_mm, flange_mm, thread_length_mm;
  [[nodiscard]] bool planned() const {
    return !nominal_size.empty() || !material.empty() || shank_mm || flange_mm || thread_length_mm;
  }
  friend bool operator==(const Replacement&, const Replacement&) = default;
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
  std::string valve_thread;  // of the valve or nut screwed on it; key of threads.csv, or empty
  std::string valve_material, tail_material;  // keys of materials.csv, or empty: not known
  std::string bedding;                        // key of bedding.csv, or empty
  std::optional<double> shank_mm;             // outside diameter of the threaded stem; > 0
  std::optional<double> thread_length_mm;     // from under the flange to the end of the stem; > 0
  std::optional<double> nut_mm;               // thickness of the nut, or what the valve takes up; > 0
  std::optional<double> stack_mm;  // from the inside of the hull or block to the top of the valve; > 0
  std::optional<double> tail_mm;   // length of the hose tail; > 0
  std::optional<double> bore_mm;   // nominal bore of the hose on it; > 0
  std::optional<double> bend_mm;   // least radius the hose may be bent to; > 0
  Replacement next;
  std::string notes;
};

}  // namespace spile::model
