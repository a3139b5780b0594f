#include <fmt/format.h>

#include <array>
#include <numbers>
#include <span>

#include "units/text.hpp"
#include "units/typed_text.hpp"

namespace spile::units {

namespace {

struct NamedFactor {
  std::string_view word;  // without spaces
  double factor;
};

constexpr std::array kAngles = std::to_array<NamedFactor>({
    {"", 1},  // heel is spoken of in degrees
    {"°", 1},
    {"deg", 1},
    {"deg.", 1},
    {"degree", 1},
    {"degrees", 1},
    {"rad", 180 / std::numbers::pi},
});

constexpr double kUsGallon = 3.785411784;  // L, exact: 231 cubic inches
constexpr std::array kFlows = std::to_array<NamedFactor>({
    {"l/min", 1},
    {"lpm", 1},
    {"l/m", 1},
    {"litre/min", 1},
    {"litres/min", 1},
    {"liter/min", 1},
    {"liters/min", 1},
    {"litresperminute", 1},
    {"litersperminute", 1},
    {"l/h", 1 / 60.0},
    {"l/hr", 1 / 60.0},
    {"lph", 1 / 60.0},
    {"litres/h", 1 / 60.0},
    {"liters/h", 1 / 60.0},
    {"l/s", 60},
    {"m3/h", 1000 / 60.0},
    {"gpm", kUsGallon},
    {"usgpm", kUsGallon},
    {"gal/min", kUsGallon},
    {"gallonsperminute", kUsGallon},
    {"gph", kUsGallon / 60},
    {"usgph", kUsGallon / 60},
    {"gal/h", kUsGallon / 60},
    {"gal/hr", kUsGallon / 60},
    {"gallonsperhour", kUsGallon / 60},
});

struct Asked {
  std::string_view noun;  // "an angle"
  std::string_view example;
  bool may_be_negative;
};

std::string without_spaces(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c != ' ') out += c;
  }
  return out;
}

Result<double> parse_with_unit(std::string_view text, std::span<const NamedFactor> units,
                               const Asked& asked) {
  const auto refuse = [&](std::string_view why) {
    return fail(ErrorCode::BadInput,
                fmt::format("\"{}\" is not {}.{}{}", text, asked.noun, why.empty() ? "" : " ", why),
                std::string(asked.example));
  };
  const std::string plain = typed::plain(text);
  typed::Reader reader(plain);
  const bool negative = reader.take('-');
  if (!negative) reader.take('+');
  if (negative && !asked.may_be_negative) return refuse("It cannot be negative.");
  reader.skip_spaces();
  const auto number = reader.number();
  if (!number) return refuse(number.error().what);
  if (!*number) return refuse({});
  const std::string word = without_spaces(reader.rest());
  for (const auto& unit : units) {
    if (unit.word == word) return (negative ? -1 : 1) * (*number)->value * unit.factor;
  }
  return refuse(word.empty() ? "The unit is missing."
                             : fmt::format("\"{}\" is not a unit of it.", reader.rest()));
}

}  // namespace

Result<Degree> parse_angle(std::string_view text) {
  const auto value =
      parse_with_unit(text, kAngles, {"an angle", "Type an angle like 30, 7.5° or 12 deg.", true});
  if (!value) return tl::unexpected(value.error());
  if (*value > 360 || *value < -360) {
    return fail(ErrorCode::BadInput, fmt::format("\"{}\" is more than a full turn.", text),
                "Type an angle like 30, 7.5° or 12 deg.");
  }
  return Degree(*value);
}

Result<LitrePerMinute> parse_flow(std::string_view text) {
  return parse_with_unit(text, kFlows,
                         {"a flow", "Type a flow like 45 L/min, 1200 L/h, 12 gpm or 800 gph.", false})
      .map([](double v) { return LitrePerMinute(v); });
}

}  // namespace spile::units
