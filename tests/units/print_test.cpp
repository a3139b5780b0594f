#include <gtest/gtest.h>

#include "units/text.hpp"

using namespace spile::units;
using namespace spile::units::literals;

TEST(PrintMetric, WithTheDigitsAskedFor) {
  EXPECT_EQ(print_metric(38.1_mm), "38.1 mm");
  EXPECT_EQ(print_metric(38.149_mm, 2), "38.15 mm");
  EXPECT_EQ(print_metric(-120_mm, 0), "-120 mm");
  EXPECT_EQ(print_metric(-0.01_mm), "0.0 mm") << "a sign on nothing says something";
}

// Fractions as engraved on a rule; 1 in = 25.4 mm exactly.
TEST(PrintInches, NearestFractionInLowestTerms) {
  EXPECT_EQ(print_inches(38.1_mm), "1-1/2 in");
  EXPECT_EQ(print_inches(19.05_mm), "3/4 in");
  EXPECT_EQ(print_inches(0_mm), "0 in");
  EXPECT_EQ(print_inches(25.4_mm), "1 in");
  EXPECT_EQ(print_inches(25.003125_mm), "63/64 in");
  EXPECT_EQ(print_inches(25.3_mm), "1 in");
  EXPECT_EQ(print_inches(-38.1_mm), "-1-1/2 in");
  EXPECT_EQ(print_inches(-0.1_mm), "0 in");
  EXPECT_EQ(print_inches(20_mm, 16), "13/16 in");
  EXPECT_EQ(print_inches(20_mm, 1), "1 in");
}

TEST(PrintLength, InTheSystemAskedFor) {
  EXPECT_EQ(print_length(685.8_mm, LengthSystem::Metric), "685.8 mm");
  EXPECT_EQ(print_length(685.8_mm, LengthSystem::Inch), "27 in");
  EXPECT_EQ(print_length(inches(118.5), LengthSystem::Inch), "9 ft 10-1/2 in");
  EXPECT_EQ(print_length(inches(-120), LengthSystem::Inch), "-10 ft");
}

TEST(PrintOthers, WithTheirUnits) {
  EXPECT_EQ(print_angle(7.5_deg), "7.5°");
  EXPECT_EQ(print_flow(LitrePerMinute(129.96)), "130.0 L/min");
}
