// What people type, in each quantity's own unit and with the instrument's interval.
#include "app/typed_value.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "model/names.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

using model::Method;
using model::Quantity;
using testing::HasSubstr;

const rules::Tables& tables() {
  static const rules::Tables kTables = test::must(rules::Tables::load_shipped());
  return kTables;
}

Result<TypedValue> read(Quantity quantity, const std::string& text, Method method = Method::Caliper,
                        std::optional<double> u95 = {}, std::optional<double> diameter = {}) {
  return read_typed(quantity, text, method, u95, tables(), diameter);
}

double table_u95(Method method) {
  for (const auto& instrument : tables().instruments())
    if (instrument.choice.key == model::key(method)) return instrument.u95;
  throw std::runtime_error("no such instrument");
}

TEST(TypedValue, ALengthInMillimetresOrInches) {
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::LaminateThickness, "14.8 mm")).value, 14.8);
  // International yard and pound agreement 1959: one inch is 25.4 mm exactly, so 5/8 in is 15.875 mm.
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::LaminateThickness, "5/8")).value, 15.875);
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::HoleDiameter, "1-1/2 in")).value, 38.1);
}

TEST(TypedValue, TheReadingIsShownBackWhereTheTextDidNotSayIt) {
  EXPECT_TRUE(test::must(read(Quantity::LaminateThickness, "14.8 mm")).as_stated);
  const auto bare = test::must(read(Quantity::LaminateThickness, "14.8"));
  EXPECT_FALSE(bare.as_stated);
  EXPECT_EQ(bare.reading, "14.8 mm");
  const auto inches = test::must(read(Quantity::LaminateThickness, "5/8"));
  EXPECT_FALSE(inches.as_stated);
  EXPECT_EQ(inches.reading, "15.88 mm");
}

TEST(TypedValue, TheInstrumentsIntervalComesFromTheTableUnlessGiven) {
  for (const auto method :
       {Method::Caliper, Method::SteelRule, Method::Tape, Method::UltrasonicGauge, Method::Estimate})
    EXPECT_DOUBLE_EQ(test::must(read(Quantity::LaminateThickness, "14.8 mm", method)).u95, table_u95(method));
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::LaminateThickness, "14.8 mm", Method::Caliper, 0.03)).u95, 0.03);
}

TEST(TypedValue, ASlipOfTheUnitIsRefused) {
  EXPECT_THAT(read(Quantity::HoleDiameter, "38 m").error().what, HasSubstr("38000 mm"));
  EXPECT_FALSE(read(Quantity::HoleDiameter, "0"));
  EXPECT_FALSE(read(Quantity::HoleDiameter, "-38 mm"));
  EXPECT_FALSE(read(Quantity::HoleDiameter, "about 38"));
  EXPECT_FALSE(read(Quantity::HoleDiameter, ""));
  EXPECT_TRUE(read(Quantity::EdgeDamage, "0 mm"));  // no chip is a finding
}

TEST(TypedValue, OvalityIsTypedInPercent) {
  const auto value = test::must(read(Quantity::HoleOvality, "1.2 %", Method::Caliper, {}, 38.0));
  EXPECT_DOUBLE_EQ(value.value, 1.2);
  // Difference of two independent readings over the diameter: JCGM 100:2008, 5.1.2.
  EXPECT_NEAR(value.u95, 100 * std::sqrt(2.0) * table_u95(Method::Caliper) / 38.0, 1e-9);
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::HoleOvality, "1,2", Method::Caliper, 0.4)).u95, 0.4);
  EXPECT_THAT(read(Quantity::HoleOvality, "1.2").error().remedy, HasSubstr("diameter"));
  EXPECT_FALSE(read(Quantity::HoleOvality, "1.2 mm", Method::Caliper, 0.4));
  EXPECT_FALSE(read(Quantity::HoleOvality, "120", Method::Caliper, 0.4));
}

TEST(TypedValue, MoistureStaysOnTheMetersOwnScale) {
  const auto value = test::must(read(Quantity::MoistureReading, "18.5", Method::Estimate));
  EXPECT_DOUBLE_EQ(value.value, 18.5);
  EXPECT_DOUBLE_EQ(value.u95, 0.1);
  EXPECT_THAT(value.note, HasSubstr("last digit"));
  EXPECT_TRUE(test::must(read(Quantity::MoistureReading, "18.5", Method::Estimate, 2.0)).note.empty());
  EXPECT_FALSE(read(Quantity::MoistureReading, "18 mm", Method::Estimate));
}

TEST(TypedValue, AStainIsAnArea) {
  const auto value = test::must(read(Quantity::StainArea, "144 mm2", Method::Caliper));
  EXPECT_DOUBLE_EQ(value.value, 144);
  // A disc of that area is 2 sqrt(A / pi) wide; JCGM 100:2008, 5.1.2 on A = pi d^2 / 4.
  const double width = 2 * std::sqrt(144 / std::numbers::pi);
  EXPECT_NEAR(value.u95, std::numbers::pi / 2 * width * table_u95(Method::Caliper), 1e-9);
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::StainArea, "1,5 cm²")).value, 150);
  EXPECT_NEAR(test::must(read(Quantity::StainArea, "0.5 sq in")).value, 0.5 * 25.4 * 25.4, 1e-9);
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::StainArea, "12", Method::Caliper, 3.0)).u95, 3);
  EXPECT_GT(test::must(read(Quantity::StainArea, "0")).u95, 0) << "none that could be seen";
  EXPECT_FALSE(read(Quantity::StainArea, "12 mm"));
  EXPECT_FALSE(read(Quantity::StainArea, "-1"));
}

TEST(TypedValue, NoCrackIsAFinding) {
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::CrackLength, "0 mm")).value, 0);
  EXPECT_DOUBLE_EQ(test::must(read(Quantity::CrackLength, "1/2 in")).value, 12.7);
}

TEST(TypedValue, APhotoIsNoInstrument) {
  EXPECT_FALSE(read(Quantity::HoleDiameter, "38", Method::PhotoAuto));
  EXPECT_FALSE(read(Quantity::HoleDiameter, "38", Method::PhotoByHand));
}

TEST(TypedValue, AnIntervalIsAboveZero) {
  for (const double u95 : {0.0, -1.0, std::nan("")})
    EXPECT_FALSE(read(Quantity::HoleDiameter, "38", Method::Caliper, u95)) << u95;
}

RC_GTEST_PROP(TypedValue, NeverAnswersWithoutAnInterval, (std::string text)) {
  for (const auto quantity :
       {Quantity::LaminateThickness, Quantity::HoleOvality, Quantity::MoistureReading, Quantity::StainArea}) {
    const auto value = read(quantity, text, Method::Caliper, {}, 38.0);
    if (!value) {
      RC_ASSERT(value.error().code == ErrorCode::BadInput);
      continue;
    }
    RC_ASSERT(value->value >= 0 && std::isfinite(value->value));
    RC_ASSERT(value->u95 > 0 && std::isfinite(value->u95));
  }
}

}  // namespace
}  // namespace spile::app
