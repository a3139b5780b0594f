// What a person typed for a quantity, read in that quantity's unit and with the instrument's interval.
// For this folder only.
#pragma once

#include <optional>
#include <string>

#include "model/measurement.hpp"
#include "outcome/outcome.hpp"
#include "rules/tables.hpp"

namespace spile::app {

struct TypedValue {
  double value = 0;        // in the quantity's unit
  double u95 = 0;          // same unit, > 0
  std::string reading;     // "14.8 mm", as it was understood
  bool as_stated = false;  // the text itself said so: no need to show the reading back
  std::string instrument;
  std::string note;  // where the interval is narrower than it looks
};

// `hole_diameter_mm`: the standing one, from which an instrument's interval on an ovality follows.
// Errors: BadInput, naming the quantity and what would be understood.
[[nodiscard]] Result<TypedValue> read_typed(model::Quantity quantity, const std::string& typed,
                                            model::Method method, std::optional<double> u95,
                                            const rules::Tables& tables,
                                            std::optional<double> hole_diameter_mm);

}  // namespace spile::app
