// Which standing measurements a new reading replaces. Pure; for this folder only.
#pragma once

#include <vector>

#include "model/measurement.hpp"

namespace spile::app {

struct Replacement {
  std::vector<model::Measurement> add;  // `supersedes` filled in
  std::vector<model::MeasurementId> withdraw;
};

// A value from a photo replaces what the same photo said of the same thing at the same opening: the hole
// (diameter, ovality, chips, depth through the bore), the edge (thickness, layers) or the fitting (flange,
// bore). A typed value replaces the typed value of the same quantity, method, opening and survey; layers
// share their labels, so a typed layer replaces none.
[[nodiscard]] Replacement replacing(const std::vector<model::Measurement>& standing,
                                    std::vector<model::Measurement> fresh);

}  // namespace spile::app
