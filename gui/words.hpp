// Lengths and intervals as the window shows them, in the person's own units. Storage is always mm.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/measurement.hpp"
#include "outcome/outcome.hpp"
#include "units/text.hpp"

namespace spile::gui {

// What a length field is for: a bare number in a hull's length is metres (or feet), elsewhere mm (or inches).
enum class Size { Small, Hull };

// "14.8 mm" or "37/64 in"; hull sizes "9.80 m" or "32 ft 1-13/16 in".
[[nodiscard]] std::string show_length(double mm, units::LengthSystem lengths, Size size = Size::Small);
// The same length in the other system, for the eye that thinks in it.
[[nodiscard]] std::string show_other(double mm, units::LengthSystem lengths, Size size = Size::Small);

// What was typed, in mm. Errors: BadInput.
[[nodiscard]] Result<units::TypedLength> read_length(std::string_view typed, units::LengthSystem lengths,
                                                     Size size = Size::Small);
// "read as 15.9 mm (5/8 in)", or what is wrong with the text; empty for an empty text.
[[nodiscard]] std::string reading_of(std::string_view typed, units::LengthSystem lengths, Size size,
                                     bool& trouble);

// "38.12 ± 0.11 mm" or "1.5008 ± 0.0043 in"; other units as they are.
[[nodiscard]] std::string show_interval(double value, double u95, model::Quantity quantity,
                                        units::LengthSystem lengths);
[[nodiscard]] std::string show_interval_mm(double value, double u95, units::LengthSystem lengths);
// Without the unit, for a column whose head names it.
[[nodiscard]] std::string show_interval_bare(double value_mm, double u95_mm, units::LengthSystem lengths);
[[nodiscard]] const char* unit_word(units::LengthSystem lengths);  // "mm" or "in"

}  // namespace spile::gui
