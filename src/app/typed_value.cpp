#include "app/typed_value.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "app/wording.hpp"
#include "model/names.hpp"
#include "units/text.hpp"

namespace spile::app {

namespace {

using model::Quantity;

constexpr double kLongest =
    3000;  // mm; nothing measured at an opening is longer, so it is a slip of the unit

struct Number {
  double value = 0;
  int decimals = 0;
};

bool may_be_zero(Quantity quantity) {
  return quantity == Quantity::HoleOvality || quantity == Quantity::EdgeDamage ||
         quantity == Quantity::MoistureReading || quantity == Quantity::CrackLength ||
         quantity == Quantity::StainArea;
}

tl::unexpected<Error> not_understood(Quantity quantity, const std::string& typed, const char* example) {
  return fail(ErrorCode::BadInput,
              fmt::format("\"{}\" was not understood as {}.", typed, lower(model::label(quantity))),
              fmt::format("Type a number such as {}.", example));
}

// A plain number with decimal point or comma, and the unit when it is the quantity's own ("1.2 %").
std::optional<Number> plain_number(std::string text, std::string_view unit) {
  text = trimmed(text);
  if (!unit.empty() && text.ends_with(unit)) text = trimmed(text.substr(0, text.size() - unit.size()));
  std::replace(text.begin(), text.end(), ',', '.');
  Number number;
  const auto* end = text.data() + text.size();
  const auto [stop, failed] = std::from_chars(text.data(), end, number.value, std::chars_format::fixed);
  if (failed != std::errc() || stop != end || !std::isfinite(number.value)) return std::nullopt;
  const auto point = text.find('.');
  number.decimals = point == std::string::npos ? 0 : static_cast<int>(text.size() - point - 1);
  return number;
}

const rules::Instrument* instrument_for(const rules::Tables& tables, model::Method method) {
  for (const auto& instrument : tables.instruments())
    if (instrument.choice.key == model::key(method)) return &instrument;
  return nullptr;
}

Result<TypedValue> typed_length(Quantity quantity, const std::string& typed) {
  const auto read = units::parse_length(typed);
  if (!read) return tl::unexpected(read.error());
  const double mm = read->length.value();
  if (mm < 0 || (mm == 0 && !may_be_zero(quantity)) || mm > kLongest) {
    return fail(
        ErrorCode::BadInput,
        fmt::format("\"{}\" is {}, which cannot be {}.", typed, print_mm(mm),
                    with_article(lower(model::label(quantity)))),
        fmt::format("Type a length above 0 and up to {}, such as 14.8 mm or 5/8 in.", print_mm(kLongest)));
  }
  TypedValue value;
  value.value = mm;
  value.reading = print_mm(mm);
  value.as_stated = read->stated && read->system == units::LengthSystem::Metric;
  return value;
}

Result<TypedValue> typed_ovality(const std::string& typed) {
  const auto number = plain_number(typed, "%");
  if (!number || number->value < 0 || number->value > 100)
    return not_understood(Quantity::HoleOvality, typed, "1.2 (percent)");
  TypedValue value;
  value.value = number->value;
  value.reading = fmt::format("{} %", print_number(number->value, 2));
  value.as_stated = true;
  return value;
}

// "144", "144 mm2", "1.4 cm²" or "0.2 sq in": the area that a length typed in that unit would have as a
// square.
Result<TypedValue> typed_area(const std::string& typed) {
  constexpr std::array<std::pair<std::string_view, double>, 8> kUnits = {{{"mm²", 1},
                                                                          {"mm2", 1},
                                                                          {"cm²", 100},
                                                                          {"cm2", 100},
                                                                          {"sq in", 645.16},
                                                                          {"in²", 645.16},
                                                                          {"in2", 645.16},
                                                                          {"", 1}}};
  for (const auto& [unit, mm2] : kUnits) {
    const std::string text = trimmed(typed);
    if (!text.ends_with(unit)) continue;
    const auto number = plain_number(text, unit);
    if (!number || number->value < 0 || number->value * mm2 > kLongest * kLongest) break;
    TypedValue value;
    value.value = number->value * mm2;
    value.reading = fmt::format("{} mm²", print_number(value.value, 1));
    value.as_stated = mm2 == 1 && !unit.empty();
    return value;
  }
  return not_understood(Quantity::StainArea, typed, "144 mm2 or 1.4 cm2");
}

// A moisture meter's scale is its own and its maker's interval is rarely known; what is certain is the last
// digit that was read.
Result<TypedValue> typed_moisture(const std::string& typed) {
  const auto number = plain_number(typed, "");
  if (!number || number->value < 0)
    return not_understood(Quantity::MoistureReading, typed, "18 (as the meter shows it)");
  TypedValue value;
  value.value = number->value;
  value.reading = print_number(number->value, number->decimals);
  value.as_stated = true;
  value.u95 = std::pow(10.0, -number->decimals);
  value.note = "The interval covers the last digit read, not the meter itself.";
  return value;
}

// Of an area taken from its width with that instrument: A = pi d^2 / 4, so U(A) = pi d U(d) / 2 by the law of
// propagation (JCGM 100:2008, 5.1.2); never less than the disc as wide as the instrument's own interval.
double area_u95(double area_mm2, double length_u95) {
  const double smallest = std::numbers::pi / 4 * length_u95 * length_u95;
  return std::max(std::sqrt(std::numbers::pi * area_mm2) * length_u95, smallest);
}

Result<double> instrument_u95(Quantity quantity, double value, const rules::Instrument& instrument,
                              std::optional<double> hole_diameter_mm) {
  if (quantity == Quantity::StainArea) return area_u95(value, instrument.u95);
  if (quantity != Quantity::HoleOvality) return instrument.u95;
  if (!hole_diameter_mm) {
    return fail(ErrorCode::BadInput,
                "The interval of an ovality depends on the hole's diameter, which is not recorded.",
                "Record the diameter first, or type the interval in percent as well.");
  }
  // 100 (a - b) / mean of two diameters read with the same instrument: law of propagation, JCGM
  // 100:2008, 5.1.2.
  return 100 * std::numbers::sqrt2 * instrument.u95 / *hole_diameter_mm;
}

}  // namespace

Result<TypedValue> read_typed(Quantity quantity, const std::string& typed, model::Method method,
                              std::optional<double> u95, const rules::Tables& tables,
                              std::optional<double> hole_diameter_mm) {
  const auto* instrument = instrument_for(tables, method);
  if (instrument == nullptr) {
    return fail(ErrorCode::BadInput,
                fmt::format("\"{}\" is not an instrument a value can be typed from.", model::label(method)),
                "Choose the caliper, gauge, rule or tape that was used.");
  }
  if (u95 && !(std::isfinite(*u95) && *u95 > 0))
    return fail(ErrorCode::BadInput, "The 95 % interval must be a number above 0.",
                "Leave it out to use the instrument's own.");
  auto value = quantity == Quantity::HoleOvality       ? typed_ovality(typed)
               : quantity == Quantity::MoistureReading ? typed_moisture(typed)
               : quantity == Quantity::StainArea       ? typed_area(typed)
                                                       : typed_length(quantity, typed);
  if (!value) return value;
  value->instrument = instrument->choice.label;
  if (u95) {
    value->u95 = *u95;
    value->note.clear();
  } else if (quantity != Quantity::MoistureReading) {
    const auto own = instrument_u95(quantity, value->value, *instrument, hole_diameter_mm);
    if (!own) return tl::unexpected(own.error());
    value->u95 = *own;
  }
  return value;
}

}  // namespace spile::app
