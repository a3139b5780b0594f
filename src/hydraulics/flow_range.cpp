#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "hydraulics/pipeline.hpp"

namespace spile::hydraulics {

namespace {

using units::LitrePerMinute;
using units::Millimetre;

constexpr double kLeastBore = 0.05;  // share of the stated bore; a doubt never closes the hose

class Budget {
 public:
  Budget(const Pipeline& pipeline, const Flowing& solved, const PumpCurve* pump)
      : pipeline_(pipeline), solved_(solved), pump_(pump) {}

  // Two worlds, the flow falling in the first: as the figure's effect is monotone, which is which does not
  // matter.
  using Change = std::function<void(Stretch&)>;
  void add(std::size_t i, const std::string& what, const Change& one, const Change& other) {
    const auto changed = [&](const Change& change) {
      Pipeline p = pipeline_;
      change(p.stretches[i]);
      return flow(p, solved_.fall, pump_);
    };
    note(fmt::format("{} of {}", what, pipeline_.stretches[i].name), changed(one), changed(other));
  }
  void add_fall(Millimetre u95) {
    if (u95 <= Millimetre(0)) return;
    note("Heights", flow(pipeline_, solved_.fall - u95, pump_), flow(pipeline_, solved_.fall + u95, pump_));
  }
  void add_pump(double u95) {
    if (pump_ == nullptr || u95 <= 0) return;
    const PumpCurve weak = pump_->scaled(std::max(1 - u95, 0.01)), strong = pump_->scaled(1 + u95);
    note("Pump's curve", flow(pipeline_, solved_.fall, &weak), flow(pipeline_, solved_.fall, &strong));
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
  static LitrePerMinute flow(const Pipeline& p, Millimetre fall, const PumpCurve* pump) {
    const auto solved = solve(p, fall, pump);
    return solved ? solved->flow : LitrePerMinute(0);
  }
  void note(const std::string& term, LitrePerMinute one, LitrePerMinute other) {
    const LitrePerMinute q = solved_.flow, none(0);
    const auto [low, high] = std::minmax(one, other);
    const FlowTerm entry{term, std::max(q - low, none), std::max(high - q, none)};
    if (entry.less > none || entry.more > none) terms_.push_back(entry);
  }

  const Pipeline& pipeline_;
  const Flowing& solved_;
  const PumpCurve* pump_;
  std::vector<FlowTerm> terms_;
};

void add_stretch(Budget& budget, const Stretch& s, std::size_t i) {
  const Millimetre none(0);
  if (s.bore_u95 > none)
    budget.add(
        i, "Bore", [](Stretch& p) { p.bore = std::max(p.bore - p.bore_u95, p.bore * kLeastBore); },
        [](Stretch& p) { p.bore = p.bore + p.bore_u95; });
  if (s.length_u95 > none)
    budget.add(
        i, "Length", [](Stretch& p) { p.length = p.length + p.length_u95; },
        [none](Stretch& p) { p.length = std::max(p.length - p.length_u95, none); });
  if (s.losses_u95 > 0)
    budget.add(
        i, "Loss", [](Stretch& p) { p.losses += p.losses_u95; },
        [](Stretch& p) { p.losses = std::max(p.losses - p.losses_u95, 0.0); });
  if (s.length > none && s.rough_most > s.rough_least)
    budget.add(
        i, "Roughness", [](Stretch& p) { p.rough = p.rough_most; },
        [](Stretch& p) { p.rough = p.rough_least; });
}

}  // namespace

FlowRange range_of(const Pipeline& pipeline, const Flowing& solved, const PumpCurve* pump,
                   const DriveDoubt& doubt) {
  Budget budget(pipeline, solved, pump);
  for (std::size_t i = 0; i < pipeline.stretches.size(); ++i) add_stretch(budget, pipeline.stretches[i], i);
  budget.add_fall(doubt.fall_u95);
  budget.add_pump(doubt.pump_u95);
  return budget.range();
}

}  // namespace spile::hydraulics
