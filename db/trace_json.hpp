// What was seen in a photo, as JSON text in the logbook.
#pragma once

#include <string>

#include "model/measurement.hpp"

namespace spile::db {

// Throws a Fault BadInput when a coordinate is not a finite number.
[[nodiscard]] std::string to_json(const model::Trace& trace);
// Throws a Fault LogbookDamaged when the text is not what to_json writes.
[[nodiscard]] model::Trace trace_from_json(const std::string& text);

}  // namespace spile::db
