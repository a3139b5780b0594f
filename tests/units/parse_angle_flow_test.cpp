#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "units/text.hpp"

using namespace spile;
using namespace spile::units;
using testing::HasSubstr;

TEST(ParseAngle, DegreesAreMeantWhenNothingIsSaid) {
  for (const char* text : {"30", "30°", "30 deg", "30 degrees", " 30 ° ", "30,0"}) {
    const auto angle = parse_angle(text);
    ASSERT_TRUE(angle) << text;
    EXPECT_DOUBLE_EQ(angle->value(), 30) << text;
  }
  EXPECT_DOUBLE_EQ(parse_angle("-7.5°")->value(), -7.5);
}

TEST(ParseAngle, RadiansAreConverted) {
  EXPECT_NEAR(parse_angle("0.5 rad")->value(), 28.64788976, 1e-8);
}

TEST(ParseAngle, RefusesJunk) {
  for (const char* text : {"", "steep", "30 mm", "400", "30°°", "1,234,5"}) {
    const auto angle = parse_angle(text);
    ASSERT_FALSE(angle) << text;
    EXPECT_THAT(angle.error().remedy, HasSubstr("7.5°")) << text;
  }
}

// Aerator limits of 10 CFR 430.32: 2.2 gpm and 2.5 gpm are published there as 8.3 and 9.5 L/min.
TEST(ParseFlow, GallonsAreUsGallons) {
  EXPECT_NEAR(parse_flow("2.2 gpm")->value(), 8.328, 0.002);
  EXPECT_NEAR(parse_flow("2.5 gpm")->value(), 9.464, 0.002);
  EXPECT_NEAR(parse_flow("1000 gph")->value(), 3785.411784 / 60, 1e-9);
}

TEST(ParseFlow, LitresAsTheyAreWritten) {
  for (const char* text : {"45 L/min", "45 l/min", "45 lpm", "2700 L/h", "2700 l/hr", "2.7 m³/h", "0.75 L/s",
                           "45 litres per minute"}) {
    const auto flow = parse_flow(text);
    ASSERT_TRUE(flow) << text;
    EXPECT_NEAR(flow->value(), 45, 1e-9) << text;
  }
}

TEST(ParseFlow, ANumberWithoutItsUnitIsRefused) {
  const auto flow = parse_flow("45");
  ASSERT_FALSE(flow);
  EXPECT_THAT(flow.error().sentence(), HasSubstr("unit is missing"));
}

TEST(ParseFlow, RefusesJunk) {
  for (const char* text : {"", "-5 gpm", "much", "45 mm", "45 imperial gpm"}) {
    ASSERT_FALSE(parse_flow(text)) << text;
    EXPECT_THAT(parse_flow(text).error().remedy, HasSubstr("12 gpm")) << text;
  }
}
