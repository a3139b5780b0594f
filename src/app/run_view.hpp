// One run worked out. For this folder only.
#pragma once

#include <span>

#include "app/water.hpp"

namespace spile::app {

// Where a run ends, and the sea it is judged in. Absent heights are not known.
struct RunPlace {
  std::string tag;
  std::string service;  // key, may be empty
  std::optional<double> height_mm, half_breadth_mm;
  rules::RunEnd end;
  double heel_deg = 0, sinkage_mm = 0;
};

struct RunWorkshop {
  const rules::Tables& tables;
  const rules::Stock& stock;
};

[[nodiscard]] RunView view_of(const model::Run& run, std::span<const model::Run> all, const RunPlace& place,
                              const RunWorkshop& shop);

// The parts as water meets them, from the fixture to the opening or the other way.
[[nodiscard]] hydraulics::Pipeline pipeline_of(std::span<const rules::PlacedPart> parts,
                                               const rules::Stock& stock, bool from_the_sea = false);

}  // namespace spile::app
