#include "hydraulics/pump_curve.hpp"

#include <gmock/gmock.h>

using namespace spile::hydraulics;
using namespace spile::units;
using testing::HasSubstr;

TEST(PumpCurve, ReadsWhatPeopleWrite) {
  const auto curve = PumpCurve::parse("0 m 126 L/min; 2 m 90; 5.5 m 0");
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_EQ(curve->shut_off().value(), 5500);
  EXPECT_EQ(curve->most().value(), 126);
  EXPECT_NEAR(curve->head_at(LitrePerMinute(45)).value(), 3750, 1e-9);
  EXPECT_NEAR(curve->head_at(LitrePerMinute(108)).value(), 1000, 1e-9);
  EXPECT_LT(curve->head_at(LitrePerMinute(150)).value(), 0);
}

TEST(PumpCurve, ReadsFeetAndGallons) {
  const auto curve = PumpCurve::parse("0 ft 2000 gph; 10 ft 1000 gph; 20ft 0 gph");
  ASSERT_TRUE(curve) << curve.error().what;
  EXPECT_NEAR(curve->shut_off().value(), 6096, 1e-9);
  EXPECT_NEAR(curve->most().value(), 126.18, 0.01);
}

TEST(PumpCurve, RefusesOneThatRises) {
  const auto curve = PumpCurve::parse("3 m 0; 4 m 20; 0 m 60");
  ASSERT_FALSE(curve);
  EXPECT_THAT(curve.error().what, HasSubstr("rises"));
  EXPECT_THAT(curve.error().what, HasSubstr("4000 mm"));
}

TEST(PumpCurve, RefusesWhatIsNoCurve) {
  EXPECT_FALSE(PumpCurve::parse(""));
  EXPECT_FALSE(PumpCurve::parse("3 m 0"));
  EXPECT_FALSE(PumpCurve::parse("3 m 10; 0 m 60"));  // how high with nothing flowing?
  EXPECT_FALSE(PumpCurve::parse("three metres 10; 0 m 60"));
  EXPECT_FALSE(PumpCurve::parse("3 m; 0 m 60"));
  EXPECT_FALSE(PumpCurve::parse("3 m 0; 3 m 60"));
}

TEST(PumpCurve, WornPumpLiftsLess) {
  const auto curve = PumpCurve::parse("0 m 100; 4 m 0")->scaled(0.8);
  EXPECT_NEAR(curve.shut_off().value(), 3200, 1e-9);
  EXPECT_NEAR(curve.head_at(LitrePerMinute(50)).value(), 1600, 1e-9);
}
