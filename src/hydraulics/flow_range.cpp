#include <algorithm>
#include <cmath>

#include "hydraulics/pipeline.hpp"
#include "hydraulics/variation.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

class Budget {
 public:
  explicit Budget(const Flowing& solved) : solved_(solved) {}

  // The flow in two worlds; as the figure's effect is monotone, which of them flows less does not matter.
  void note(const std::string& term, LitrePerMinute one, LitrePerMinute other) {
    const LitrePerMinute q = solved_.flow, none(0);
    const auto [low, high] = std::minmax(one, other);
    const FlowTerm entry{term, std::max(q - low, none), std::max(high - q, none)};
    if (entry.less > none || entry.more > none) terms_.push_back(entry);
  }
  [[nodiscard]] FlowRange range() {
    std::stable_sort(terms_.begin(), terms_.end(),
                     [](const FlowTerm& a, const FlowTerm& b) { return a.less + a.more > b.less + b.more; });
    double less = 0, more = 0;
    for (const auto& t : terms_) {
      less += t.less.value() * t.less.value();
      more += t.more.value() * t.more.value();
    }
    const double flow = solved_.flow.value();
    return {LitrePerMinute(std::max(0.0, flow - std::sqrt(less))), LitrePerMinute(flow + std::sqrt(more)),
            terms_};
  }

 private:
  const Flowing& solved_;
  std::vector<FlowTerm> terms_;
};

}  // namespace

FlowRange range_of(const Pipeline& pipeline, const Flowing& solved, const PumpCurve* pump,
                   const DriveDoubt& doubt) {
  Budget budget(solved);
  const Millimetre fall = solved.fall, fall_u95 = doubt.fall_u95;
  const auto flow = [&](const Pipeline& p, Millimetre f, const PumpCurve* curve) {
    return flow_near(p, f, curve, solved.flow);
  };
  for (const auto& v : variations(pipeline))
    budget.note(v.term, flow(v.one, fall, pump), flow(v.other, fall, pump));
  if (fall_u95 > Millimetre(0))
    budget.note("Heights", flow(pipeline, fall - fall_u95, pump), flow(pipeline, fall + fall_u95, pump));
  if (pump != nullptr && doubt.pump_u95 > 0) {
    const PumpCurve weak = pump->scaled(std::max(1 - doubt.pump_u95, 0.01)),
                    strong = pump->scaled(1 + doubt.pump_u95);
    budget.note("Pump's curve", flow(pipeline, fall, &weak), flow(pipeline, fall, &strong));
  }
  return budget.range();
}

}  // namespace spile::hydraulics
