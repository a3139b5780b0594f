// Hose and parts in order from a fixture, tank or pump to the opening, kept as typed: what cannot be is said
// when it is judged, not refused when it is recorded. Lengths in mm; heights above the waterline at rest.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/ids.hpp"

namespace spile::model {

struct RunPart {
  std::string part;               // key of assets/tables/run_parts.csv
  std::optional<double> bore_mm;  // as measured; absent: the table's
  std::optional<double> length_mm;
  std::optional<double>
      rise_mm;  // from its end at the fixture to the other, up positive; absent: as it falls out
  std::optional<double> bends;  // swept turns, in right angles
  std::string curve;            // a pump's own: "0 m 69 L/min; 3.7 m 0"; empty: the table's
  bool turned = false;          // the other way round than the table has it
  std::string note;
  friend bool operator==(const RunPart&, const RunPart&) = default;
};

// A tee: this run ends in another one, behind that run's part of this number.
struct RunJoin {
  RunId run;
  int behind_part = 0;  // counted from 0
  friend bool operator==(const RunJoin&, const RunJoin&) = default;
};

struct Run {
  RunId id;
  OpeningId opening;  // where it leaves the hull, also when it joins another run first
  std::optional<RunJoin> joins;
  std::string name;                        // "galley sink"; told apart where an opening ends several
  std::optional<double> outlet_height_mm;  // where the run starts: the fixture's outlet, the pump
  std::optional<double> basin_depth_mm;    // from there to the fixture's rim
  std::optional<double> basin_litres;      // it holds when full
  std::optional<double>
      from_centreline_mm;      // of the fixture, toward the opening's side; absent: as the opening
  std::vector<RunPart> parts;  // the fitting in the hull may be left out: it is the opening's own
  std::string notes;
  friend bool operator==(const Run&, const Run&) = default;
};

}  // namespace spile::model
