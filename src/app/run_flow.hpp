// Flow through one run and what the sea does in it, at one heel. For this folder only.
#pragma once

#include "app/run_view.hpp"

namespace spile::app {

struct FlowCase {
  const RunView& view;  // placed, with its profile
  const RunPlace& place;
  const RunWorkshop& shop;
  double heel_deg = 0;
};
[[nodiscard]] FlowView flow_of(const FlowCase& facts);
// Nothing for runs that carry no water, or whose heights are not known.
[[nodiscard]] std::optional<BackflowView> backflow_of(const FlowCase& facts);

}  // namespace spile::app
