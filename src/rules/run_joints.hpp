// Whether the parts of a run fit each other, joint by joint: size, thread family, tail and hose; where bore
// is lost.
#pragma once

#include "rules/run_parts.hpp"

namespace spile::rules {

enum class Fit {
  Good,
  Poor,       // goes together, badly: see the reason
  Stretched,  // hose over a tail that is not quite its size
  Size,       // of the same kind but another size
  Family,     // threads that only seem to fit
  Form,       // ends that do not go together at all: hose on hose, thread on hose
  NotKnown,   // an end that is not in the table
};
[[nodiscard]] std::string_view key(Fit fit);    // "family"
[[nodiscard]] std::string_view label(Fit fit);  // "Thread family"
[[nodiscard]] bool matches(Fit fit);            // Good or NotKnown

// Source of what may be joined: ASME B1.20.1, ISO 228-1 and ISO 7-1; hose to tail within 1 mm is common
// practice.
[[nodiscard]] Fit fit(const PartEnd& a, const PartEnd& b);

struct Joint {
  std::size_t before = 0;  // index of the part on the fixture's side; the other is the next
  Fit fit = Fit::Good;
  std::string text;      // what is joined to what, and what is wrong with it
  double area_kept = 1;  // bore area behind over the bore area before it, at most 1
};

struct RunMatch {
  std::vector<Joint> joints;
  std::optional<std::size_t> bottleneck;  // index of the narrowest part
  double widest_mm = 0, narrowest_mm = 0;
  double area_left = 1;  // narrowest over widest bore area
  bool all_match = true;
  std::string size_note;  // where the narrowest is below what the service takes; else empty
};
// `service` may be null.
[[nodiscard]] RunMatch judge_joints(const PlacedRun& run, const ServiceRun* service, bool below_waterline);

// The shortest chain of stocked parts that joins two ends, widest first among equally short ones. Empty: they
// go together as they are. Nothing: no chain of stocked parts joins them.
struct Chain {
  std::vector<const StockPart*> parts;
  double narrowest_mm = 0;
};
[[nodiscard]] std::optional<Chain> shortest_chain(const PartEnd& from, const PartEnd& to, const Stock& stock);

}  // namespace spile::rules
