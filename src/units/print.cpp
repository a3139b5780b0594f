#include <fmt/format.h>

#include <bit>
#include <cassert>
#include <cmath>
#include <cstdlib>
#include <numeric>

#include "units/text.hpp"

namespace spile::units {

namespace {

// Rounding can leave "-0.0", which reads as if the sign meant something.
std::string fixed(double value, int decimals) {
  assert(std::isfinite(value) && decimals >= 0 && "only a finite number can be printed");
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.starts_with('-') && text.find_first_not_of("-0.") == text.npos) text.erase(0, 1);
  return text;
}

// `parts` of 1/`denominator` inch, not negative, in lowest terms: "1-1/2", "3/4", "0".
std::string mixed_number(long long parts, long long denominator) {
  const long long whole = parts / denominator;
  const long long rest = parts % denominator;
  if (rest == 0) return fmt::format("{}", whole);
  const long long common = std::gcd(rest, denominator);
  const std::string fraction = fmt::format("{}/{}", rest / common, denominator / common);
  return whole == 0 ? fraction : fmt::format("{}-{}", whole, fraction);
}

constexpr double kInchesBeforeFeet = 36;  // a rule's length; beyond it people read feet

}  // namespace

std::string print_metric(Millimetre length, int decimals) {
  return fixed(length.value(), decimals) + " mm";
}

std::string print_inches(Millimetre length, int denominator) {
  assert(denominator >= 1 && denominator <= 64 && std::has_single_bit(static_cast<unsigned>(denominator)) &&
         "rules are divided into halves down to 1/64");
  const long long parts = std::llround(in_inches(length) * denominator);
  return fmt::format("{}{} in", parts < 0 ? "-" : "", mixed_number(std::llabs(parts), denominator));
}

std::string print_length(Millimetre length, LengthSystem system) {
  if (system == LengthSystem::Metric) return print_metric(length);
  if (std::abs(in_inches(length)) < kInchesBeforeFeet) return print_inches(length);
  const long long parts = std::llround(in_inches(length) * 64);
  const long long foot = 12LL * 64;
  const long long left = std::llabs(parts) % foot;
  const std::string feet = fmt::format("{}{} ft", parts < 0 ? "-" : "", std::llabs(parts) / foot);
  return left == 0 ? feet : fmt::format("{} {} in", feet, mixed_number(left, 64));
}

std::string print_angle(Degree angle, int decimals) {
  return fixed(angle.value(), decimals) + "°";
}

std::string print_flow(LitrePerMinute flow, int decimals) {
  return fixed(flow.value(), decimals) + " L/min";
}

}  // namespace spile::units
