#include "units/quantity.hpp"

#include <gtest/gtest.h>

#include <concepts>
#include <type_traits>

using namespace spile::units;
using namespace spile::units::literals;

namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Comparable = requires(A a, B b) {
  a < b;
};

// What must not compile: a number taken for a length, a length for an angle, sums and comparisons of unlike
// things.
static_assert(!std::is_convertible_v<double, Millimetre>);
static_assert(!std::is_convertible_v<Millimetre, double>);
static_assert(!std::is_constructible_v<Millimetre, Degree>);
static_assert(!std::is_constructible_v<Litre, LitrePerMinute>);
static_assert(!std::is_assignable_v<Millimetre&, double>);
static_assert(!std::is_assignable_v<Newton&, Megapascal>);
static_assert(!Addable<Millimetre, Degree>);
static_assert(!Addable<Millimetre, double>);
static_assert(!Addable<Millimetre, SquareMillimetre>);
static_assert(!Comparable<Millimetre, LitrePerMinute>);
static_assert(!Comparable<Millimetre, double>);

static_assert(Addable<Millimetre, Millimetre>);
static_assert(Comparable<Degree, Degree>);
static_assert(std::same_as<decltype(1_mm / 2_mm), double>);
static_assert(std::same_as<decltype(1_mm * 2_mm), SquareMillimetre>);
static_assert(std::same_as<decltype(1_mm * 2_mm / 1_mm), Millimetre>);

}  // namespace

// International yard and pound agreement 1959: 1 in = 25.4 mm exactly.
TEST(Quantity, AnInchIsExactly25Point4Millimetres) {
  EXPECT_EQ(inches(1), 25.4_mm);
  EXPECT_EQ(in_inches(25.4_mm), 1.0);
}

TEST(Quantity, ArithmeticKeepsTheUnit) {
  EXPECT_EQ(38_mm + 2_mm, 40_mm);
  EXPECT_EQ(38_mm - 40_mm, -2_mm);
  EXPECT_EQ(2 * 19_mm, 38_mm);
  EXPECT_EQ(38_mm / 2, 19_mm);
  EXPECT_EQ(38_mm / 19_mm, 2.0);
  EXPECT_EQ(6_mm * 7_mm, SquareMillimetre(42));
  EXPECT_LT(7_deg, 30.5_deg);
}
