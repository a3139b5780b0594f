#include <fmt/format.h>

#include <array>
#include <cmath>

#include "units/text.hpp"
#include "units/typed_text.hpp"

namespace spile::units {

namespace {

using typed::Number;
using typed::NumberShape;
using typed::Reader;

constexpr std::string_view kExample =
    "Type a length like 38 mm, 3.8 cm, 0.5 m, 1-1/2 in, 3/4\" or 2 ft 3 in.";
constexpr double kLongest = 1e6;  // mm: a kilometre; nothing on a craft is longer, so a slip of the keys is

struct LengthUnit {
  std::string_view word;
  double mm;
  LengthSystem system;
};

constexpr double kFoot = 12 * kMillimetresPerInch;
constexpr std::array kUnits = std::to_array<LengthUnit>({
    {"mm", 1, LengthSystem::Metric},
    {"millimetre", 1, LengthSystem::Metric},
    {"millimetres", 1, LengthSystem::Metric},
    {"millimeter", 1, LengthSystem::Metric},
    {"millimeters", 1, LengthSystem::Metric},
    {"cm", 10, LengthSystem::Metric},
    {"centimetre", 10, LengthSystem::Metric},
    {"centimetres", 10, LengthSystem::Metric},
    {"centimeter", 10, LengthSystem::Metric},
    {"centimeters", 10, LengthSystem::Metric},
    {"m", 1000, LengthSystem::Metric},
    {"metre", 1000, LengthSystem::Metric},
    {"metres", 1000, LengthSystem::Metric},
    {"meter", 1000, LengthSystem::Metric},
    {"meters", 1000, LengthSystem::Metric},
    {"\"", kMillimetresPerInch, LengthSystem::Inch},
    {"in", kMillimetresPerInch, LengthSystem::Inch},
    {"inch", kMillimetresPerInch, LengthSystem::Inch},
    {"inches", kMillimetresPerInch, LengthSystem::Inch},
    {"'", kFoot, LengthSystem::Inch},
    {"ft", kFoot, LengthSystem::Inch},
    {"foot", kFoot, LengthSystem::Inch},
    {"feet", kFoot, LengthSystem::Inch},
});

tl::unexpected<Error> refuse(std::string_view text, std::string_view why = {}) {
  std::string what = fmt::format("\"{}\" is not a length.", text);
  if (!why.empty()) what += fmt::format(" {}", why);
  return fail(ErrorCode::BadInput, what, std::string(kExample));
}

// No unit here: nothing. A word that is no unit of length: nothing too, and the word stays unread.
std::optional<LengthUnit> take_unit(Reader& reader) {
  Reader ahead = reader;
  ahead.skip_spaces();
  std::string_view word = ahead.rest().substr(0, 1);
  if (word == "\"" || word == "'") {
    ahead.take(word.front());
  } else {
    word = ahead.take_letters();
  }
  for (const auto& unit : kUnits) {
    if (word.empty() || unit.word != word) continue;
    if (unit.word == "in" || unit.word == "ft") ahead.take('.');
    reader = ahead;
    return unit;
  }
  return std::nullopt;
}

// What may follow feet: "3 in", "-3 1/2\"", "3" (inches, as everybody writes them after feet), or nothing.
Result<double> inches_after_feet(Reader& reader) {
  reader.skip_spaces();
  if (reader.take('-')) reader.skip_spaces();
  const auto number = reader.number();
  if (!number) return tl::unexpected(number.error());
  if (!*number) return 0.0;
  const auto unit = take_unit(reader);
  if (unit && unit->mm != kMillimetresPerInch) return fail(ErrorCode::BadInput, "After feet come inches.");
  return (*number)->value * kMillimetresPerInch;
}

Result<TypedLength> read_length(Reader& reader, LengthSystem bare_number_is) {
  const auto number = reader.number();
  if (!number) return tl::unexpected(number.error());
  if (!*number) return fail(ErrorCode::BadInput, {});
  const auto unit = take_unit(reader);
  if (!unit) {
    const bool fraction = (*number)->shape == NumberShape::Fraction;
    const auto system = fraction ? LengthSystem::Inch : bare_number_is;
    const double mm = system == LengthSystem::Inch ? kMillimetresPerInch : 1;
    return TypedLength{Millimetre((*number)->value * mm), system, false};
  }
  double mm = (*number)->value * unit->mm;
  if (unit->mm == kFoot && (*number)->whole) {
    const auto more = inches_after_feet(reader);
    if (!more) return tl::unexpected(more.error());
    mm += *more;
  }
  return TypedLength{Millimetre(mm), unit->system, true};
}

}  // namespace

Result<TypedLength> parse_length(std::string_view text, LengthSystem bare_number_is) {
  const std::string plain = typed::plain(text);
  if (plain.empty()) return fail(ErrorCode::BadInput, "No length was typed.", std::string(kExample));
  Reader reader(plain);
  const bool negative = reader.take('-');
  if (!negative) reader.take('+');
  reader.skip_spaces();
  auto length = read_length(reader, bare_number_is);
  if (!length) return refuse(text, length.error().what);
  reader.skip_spaces();
  if (!reader.at_end()) return refuse(text, fmt::format("\"{}\" is left over.", reader.rest()));
  if (length->length.value() > kLongest) return refuse(text, "It is longer than a kilometre.");
  if (negative) length->length = Millimetre(0) - length->length;
  return *length;
}

}  // namespace spile::units
