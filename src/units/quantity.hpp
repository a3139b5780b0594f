// Strong types for the quantities of the trade: no implicit numbers, no mixing of units.
// Each is a double in the unit its name says; unwrap with value().
#pragma once

#include <compare>

namespace spile::units {

template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  explicit constexpr Quantity(double value) : value_(value) {}
  [[nodiscard]] constexpr double value() const { return value_; }

  friend constexpr auto operator<=>(Quantity, Quantity) = default;  // NOLINT(modernize-use-nullptr)
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value_ + b.value_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value_ - b.value_); }
  friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value_); }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.value_ * k); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.value_ * k); }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.value_ / k); }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }

 private:
  double value_ = 0;
};

using Millimetre = Quantity<struct MillimetreTag>;
using SquareMillimetre = Quantity<struct SquareMillimetreTag>;
using Degree = Quantity<struct DegreeTag>;
using Litre = Quantity<struct LitreTag>;
using Minute = Quantity<struct MinuteTag>;
using LitrePerMinute = Quantity<struct LitrePerMinuteTag>;
using Newton = Quantity<struct NewtonTag>;
using Megapascal = Quantity<struct MegapascalTag>;

constexpr SquareMillimetre operator*(Millimetre a, Millimetre b) {
  return SquareMillimetre(a.value() * b.value());
}
constexpr Millimetre operator/(SquareMillimetre a, Millimetre b) {
  return Millimetre(a.value() / b.value());
}

inline constexpr double kMillimetresPerInch =
    25.4;  // exact by definition, international yard and pound agreement 1959

constexpr Millimetre inches(double in) {
  return Millimetre(in * kMillimetresPerInch);
}
constexpr double in_inches(Millimetre length) {
  return length.value() / kMillimetresPerInch;
}

namespace literals {
constexpr Millimetre operator""_mm(long double v) {
  return Millimetre(static_cast<double>(v));
}
constexpr Millimetre operator""_mm(unsigned long long v) {
  return Millimetre(static_cast<double>(v));
}
constexpr Degree operator""_deg(long double v) {
  return Degree(static_cast<double>(v));
}
constexpr Degree operator""_deg(unsigned long long v) {
  return Degree(static_cast<double>(v));
}
}  // namespace literals

}  // namespace spile::units
