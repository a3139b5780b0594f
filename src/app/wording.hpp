// Small pieces of sentences: numbers, intervals and labels as people read them.
#pragma once

#include <string>
#include <string_view>

#include "metrology/print.hpp"
#include "model/measurement.hpp"

namespace spile::app {

[[nodiscard]] std::string trimmed(std::string_view text);
[[nodiscard]] std::string folded(std::string_view text);        // ASCII letters in lower case
[[nodiscard]] std::string lower(std::string_view label);        // first letter only
[[nodiscard]] std::string with_article(std::string_view noun);  // "a hole diameter", "an edge damage"

[[nodiscard]] std::string counted(std::size_t count, std::string_view noun);  // "1 photo", "2 photos"

// At most `decimals` digits after the point, without trailing zeros.
[[nodiscard]] std::string print_number(double value, int decimals);
[[nodiscard]] std::string print_mm(double mm);  // "14.8 mm", to a hundredth

using metrology::print_interval;

// "hole diameter 38.12 ± 0.11 mm"
[[nodiscard]] std::string print_measurement(const model::Measurement& measurement);

}  // namespace spile::app
