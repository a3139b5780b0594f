// Whether the sea comes in backwards through a run that nobody has shut: heights of its fixture's rim, its
// highest point and its outlet against the water, at rest and heeled.
#pragma once

#include "units/quantity.hpp"

namespace spile::hydraulics {

// Height above the sea of a point of the hull that lies `height` above the waterline at rest and
// `toward_low_side` from the centreline (negative: on the high side), when she heels by `heel` turning about
// the centreline at the waterline and floats `sinkage` deeper. Negative: under water. Exact for that turning,
// no trim.
[[nodiscard]] units::Millimetre above_sea(units::Millimetre height, units::Millimetre toward_low_side,
                                          units::Degree heel, units::Millimetre sinkage);

enum class Backflow {
  OutletDry,   // the outlet is out of the water
  Clear,       // the rim stands clear above the sea
  Close,       // the rim is above the sea, but by less than the margin
  HeldByLoop,  // the rim is under, a vented loop stands high enough
  LoopTooLow,  // the rim is under, the highest point above the sea by less than the margin
  Siphons,     // the rim is under, the highest point above it but not vented: flows once it has run full
  RunsBack,    // rim and highest point are under: the sea runs in by itself
};

struct RunHeights {
  units::Millimetre outlet, highest, rim;  // above the sea; `highest` of hose and loop
  bool vented = false;                     // a vented loop at the highest point
};
struct BackflowMargins {
  units::Millimetre rim;   // >= 0
  units::Millimetre loop;  // >= 0
};

[[nodiscard]] Backflow judge_backflow(const RunHeights& heights, const BackflowMargins& margins);
[[nodiscard]] bool dangerous(Backflow answer);  // the sea can come in

}  // namespace spile::hydraulics
