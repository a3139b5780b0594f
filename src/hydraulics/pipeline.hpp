// Steady flow through parts in a row: the energy equation with friction by Darcy and Weisbach and minor
// losses, driven by a fall, a pump, or both. Heads are metres of the water that flows, kept as lengths in mm.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "hydraulics/friction.hpp"
#include "hydraulics/pump_curve.hpp"
#include "outcome/outcome.hpp"
#include "units/quantity.hpp"

namespace spile::hydraulics {

// One part, in the direction of flow. The u95 say how well its figures are known (95 %).
struct Stretch {
  std::string name;                                  // for the sentence when something is wrong with it
  units::Millimetre bore, bore_u95;                  // bore > 0
  units::Millimetre length, length_u95;              // >= 0
  double losses = 0, losses_u95 = 0;                 // sum of K on its own velocity, >= 0
  units::Millimetre rough, rough_least, rough_most;  // height of roughness e
};

struct Pipeline {
  std::vector<Stretch> stretches;
  double viscosity = kViscosity;  // m2/s
  double entrance = 0.5;          // K, square-edged; what leaves keeps its velocity head, K = 1
};

// Errors: BadInput naming the part that has no bore, a negative length, loss or roughness; or no part at all.
[[nodiscard]] Result<void> check(const Pipeline& pipeline);

// Where the head goes in one part. `change` is the entrance or the change of bore before it.
struct StretchLoss {
  units::Millimetre change, friction, minor;
  double velocity = 0;  // m/s
  double reynolds = 0;
  double factor = 0;  // Darcy f
  [[nodiscard]] units::Millimetre total() const { return change + friction + minor; }
};

struct Flowing {
  units::LitrePerMinute flow;
  units::Millimetre fall;       // from surface to surface; negative: lift
  units::Millimetre pump_head;  // 0 without a pump
  std::vector<StretchLoss> losses;
  units::Millimetre exit;                        // velocity head that leaves
  [[nodiscard]] units::Millimetre lost() const;  // all of it; equals fall + pump_head
  [[nodiscard]] std::size_t worst() const;       // index of the part that costs the most head
};

// At a flow of the caller's choosing. The pipeline must pass check().
[[nodiscard]] Flowing at_flow(const Pipeline& pipeline, units::LitrePerMinute flow);
[[nodiscard]] units::Millimetre head_needed(const Pipeline& pipeline, units::LitrePerMinute flow);

// The flow at which what drives equals what is lost. Errors: those of check(); Refused where nothing can
// flow: no fall and no pump, or a lift that the pump does not reach.
[[nodiscard]] Result<Flowing> solve(const Pipeline& pipeline, units::Millimetre fall,
                                    const PumpCurve* pump = nullptr);

// How much one uncertain figure moves the flow, and all of them together by root sum of squares (JCGM
// 100, 5.1.2).
struct FlowTerm {
  std::string term;
  units::LitrePerMinute less, more;  // by which the flow falls and rises, both >= 0
};
struct FlowRange {
  units::LitrePerMinute low, high;  // 95 %; low is 0 where the flow may stop
  std::vector<FlowTerm> budget;     // largest first
};
struct DriveDoubt {
  units::Millimetre fall_u95;
  double pump_u95 = 0;  // share of the head the curve states
};
// `solved` must be an answer of solve() for the same inputs.
[[nodiscard]] FlowRange range_of(const Pipeline& pipeline, const Flowing& solved, const PumpCurve* pump,
                                 const DriveDoubt& doubt);

// A basin with straight sides empties: from `depth` of water over its outlet to none, the outlet lying `fall`
// above where the water goes. Errors as solve().
[[nodiscard]] Result<units::Minute> time_to_empty(const Pipeline& pipeline, units::Litre volume,
                                                  units::Millimetre depth, units::Millimetre fall);

}  // namespace spile::hydraulics
