// A run's parts as its joints and its flow need them: the row of the table with what was typed put over it,
// and at the end the fitting in the hull. Lengths in mm.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/opening.hpp"
#include "model/run.hpp"
#include "rules/stock.hpp"

namespace spile::rules {

struct PlacedPart {
  const StockPart* stock = nullptr;  // never null
  PartEnd in, out;                   // toward the fixture, toward the opening, as it lies
  double bore_mm = 0, bore_u95_mm = 0;
  double length_mm = 0;
  std::optional<double> rise_mm;
  double bends = 0;
  std::string curve;          // of a pump
  bool branch = false;        // a tee that this run enters by its branch
  bool from_fitting = false;  // not in the run itself: the opening's own fitting
};

// What was measured of the opening that the run ends in.
struct RunEnd {
  std::optional<model::Fitting> fitting;
  std::optional<double> bore_mm, bore_u95_mm;  // of the fitting
  std::optional<double> hole_mm;
  bool below_waterline = true;  // at rest or heeled; where nobody knows, take it as so
};

struct PlacedRun {
  std::vector<PlacedPart> parts;  // from the fixture to the opening
  std::vector<std::string>
      faults;  // what was typed that cannot be, a sentence each: nothing is worked out of such a run
  std::vector<std::string> notes;  // what is missing or was assumed
};

// With the parts of the runs it joins, found in `all`, from the tee on.
[[nodiscard]] PlacedRun place(const model::Run& run, const RunEnd& end, const Stock& stock,
                              std::span<const model::Run> all = {});
// "3. Hose tail, 1 NPT to 25 mm hose"
[[nodiscard]] std::string numbered(const PlacedRun& run, std::size_t index);

}  // namespace spile::rules
