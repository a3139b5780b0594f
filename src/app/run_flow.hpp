// Flow through one run and what the sea does in it, at one heel. For this folder only.
#pragma once

#include "app/run_view.hpp"

namespace spile::app {

struct FlowCase {
  const RunView& view;  // placed, with its profile
  const RunPlace& place;
  const RunWorkshop& shop;
  double heel_deg = 0;
  bool flow_alone = false;  // neither its range nor the time to empty the basin
};
inline constexpr double kPumpDoubt =
    0.15;  // of the head on the label, 95 %: voltage and wear (common practice)

// Of a point of the run, and `more_mm` above it, over the sea at that heel.
[[nodiscard]] double sea_height(const HeightPoint& point, double more_mm, const FlowCase& facts);
[[nodiscard]] rules::Flow service_flow(const FlowCase& facts);
[[nodiscard]] const rules::PlacedPart* pump_of(const RunView& view);  // null: none
// The point behind the last vented loop: from there water falls by itself.
[[nodiscard]] std::optional<std::size_t> vented_point(const RunView& view);

[[nodiscard]] FlowView flow_of(const FlowCase& facts);
// Nothing for runs that carry no water, or whose heights are not known.
[[nodiscard]] std::optional<BackflowView> backflow_of(const FlowCase& facts);

}  // namespace spile::app
