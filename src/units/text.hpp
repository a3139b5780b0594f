// Lengths, angles and flows as people type and read them: "38 mm", "3.8cm", "1 1/2 in", "1-1/2\"", "3/4".
// Metric and inch fractions down to 1/64; decimal point or decimal comma.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "outcome/outcome.hpp"
#include "units/quantity.hpp"

namespace spile::units {

enum class LengthSystem { Metric, Inch };

// What was typed, read as a length. `stated` is false when the text carried no unit and `bare_number_is`
// decided; a bare fraction ("3/4", "1 1/2") is always read as inches. The caller shows the reading back when
// not stated.
struct TypedLength {
  Millimetre length;
  LengthSystem system = LengthSystem::Metric;
  bool stated = true;
};

// Errors: BadInput with the text quoted and an example of what would be understood. Never guesses past junk,
// and refuses what reads two ways ("1,500").
[[nodiscard]] Result<TypedLength> parse_length(std::string_view text,
                                               LengthSystem bare_number_is = LengthSystem::Metric);
[[nodiscard]] Result<Degree> parse_angle(std::string_view text);
[[nodiscard]] Result<LitrePerMinute> parse_flow(
    std::string_view text);  // L/min, L/h, gpm and gph (US gallon 3.785411784 L)

// "38.1 mm", with `decimals` digits after the point.
[[nodiscard]] std::string print_metric(Millimetre length, int decimals = 1);
// Nearest 1/`denominator` inch in lowest terms: "1-1/2 in", "3/4 in", "0 in"; denominator a power of two up
// to 64.
[[nodiscard]] std::string print_inches(Millimetre length, int denominator = 64);
// Metric as print_metric; inches to 1/64, from three feet on with feet: "9 ft 10-1/2 in".
[[nodiscard]] std::string print_length(Millimetre length, LengthSystem system);
[[nodiscard]] std::string print_angle(Degree angle, int decimals = 1);
[[nodiscard]] std::string print_flow(LitrePerMinute flow, int decimals = 1);

}  // namespace spile::units
