// Steady flow in runs that meet at tees and leave by one opening together. Each leg obeys the energy equation
// as in pipeline.hpp; what comes into a tee goes out of it; a tee has one total head, its K is counted on
// what each leg brings to it (books that go by the share of the flow differ by up to one velocity head).
// Heads are mm of the water that flows, above where the last leg ends.
#pragma once

#include <optional>
#include <vector>

#include "hydraulics/pipeline.hpp"

namespace spile::hydraulics {

struct Source {
  units::Millimetre head;                      // of the water the leg starts from
  std::optional<units::LitrePerMinute> given;  // it brings so much whatever stands against it
};

struct Leg {
  Pipeline pipe;                    // `entrance` counts only where there is a source
  std::optional<std::size_t> into;  // the leg behind the tee this one ends in; nothing: it is the last
  std::optional<Source> source;     // nothing: it carries what other legs bring
  std::optional<PumpCurve> pump;    // lets nothing back
  bool one_way = false;             // a non-return valve is in it
};

struct LegFlow {
  units::LitrePerMinute flow;           // below zero: backwards, into the fixture
  units::Millimetre head_in, head_out;  // total heads at its ends
  units::Millimetre pump_head, lost;  // head_in + pump_head - lost = head_out; lost below zero when backwards
  bool shut = false;                  // what stands against it holds its pump or non-return valve: no flow
};

// In the order of `legs`. Errors: those of check() for each pipe; BadInput where the legs go round in a loop,
// do not end in one leg, or a leg has neither source nor feeders; Internal where no balance is found.
[[nodiscard]] Result<std::vector<LegFlow>> solve(const std::vector<Leg>& legs);

// 95 % range of the flow in `leg`, to first order (JCGM 100, 5.1.2), from what is known of every leg.
// `solved` must be the answer of solve() for these legs.
struct LegRange {
  units::LitrePerMinute low, high;
};
[[nodiscard]] LegRange range_of(const std::vector<Leg>& legs, const std::vector<LegFlow>& solved,
                                std::size_t leg, const DriveDoubt& doubt);

}  // namespace spile::hydraulics
