// What to change so that a run matches all the way, ranked: what serves first, then what enlarges no opening
// below the waterline, then the least work.
#pragma once

#include "rules/run_joints.hpp"

namespace spile::rules {

struct Remedy {
  std::string title;               // "All of it 1 in (25 mm)"
  std::vector<std::string> steps;  // in order, a sentence each
  std::vector<std::string> buy;    // parts by their label
  std::string why_not;             // what speaks against it; may be empty
  bool serves = true;              // as large as the service takes
  bool one_size = true;            // false: reducers bridge the sizes
  bool replaces_fitting = false;
  bool enlarges_opening = false;
  bool below_waterline = false;  // and the opening lies where water can reach it
  double work = 0;               // in the work of one hose end; common practice
  double narrowest_mm = 0;
  PlacedRun after;  // the run as it would be
};

struct RemedyCase {
  const PlacedRun& run;
  const RunEnd& end;
  const ServiceRun* service = nullptr;  // may be null
  const Stock& stock;
  const Tables& tables;
};
// Best first; empty where the run matches and is large enough.
[[nodiscard]] std::vector<Remedy> remedies(const RemedyCase& facts);

}  // namespace spile::rules
