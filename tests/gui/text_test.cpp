// Lengths as the window shows and reads them. The inch is 25.4 mm exactly (international yard and pound
// agreement, 1959).
#include "gui/words.hpp"

#include <gmock/gmock.h>

namespace spile::gui {
namespace {

using units::LengthSystem;

TEST(Words, ShowALengthInEitherSystem) {
  EXPECT_EQ(show_length(14.8, LengthSystem::Metric), "14.8 mm");
  EXPECT_EQ(show_length(19.05, LengthSystem::Inch), "3/4 in");
  EXPECT_EQ(show_length(9200, LengthSystem::Metric, Size::Hull), "9.20 m");
  EXPECT_EQ(show_other(19.05, LengthSystem::Metric), "3/4 in");
}

TEST(Words, ReadABareNumberInTheFieldsOwnUnit) {
  EXPECT_DOUBLE_EQ(read_length("9.2", LengthSystem::Metric, Size::Hull)->length.value(), 9200);
  EXPECT_DOUBLE_EQ(read_length("9200 mm", LengthSystem::Metric, Size::Hull)->length.value(), 9200);
  EXPECT_DOUBLE_EQ(read_length("30", LengthSystem::Inch, Size::Hull)->length.value(), 9144);
  EXPECT_DOUBLE_EQ(read_length("15", LengthSystem::Metric)->length.value(), 15);
  EXPECT_DOUBLE_EQ(read_length("3/4", LengthSystem::Metric)->length.value(), 19.05);
  EXPECT_FALSE(read_length("long", LengthSystem::Metric));
}

TEST(Words, SayHowATextWasRead) {
  bool trouble = true;
  EXPECT_EQ(reading_of("3/4", LengthSystem::Metric, Size::Small, trouble), "19.05 mm = 3/4 in");
  EXPECT_FALSE(trouble);
  EXPECT_EQ(reading_of("  ", LengthSystem::Metric, Size::Small, trouble), "");
  EXPECT_THAT(reading_of("seven", LengthSystem::Metric, Size::Small, trouble), testing::HasSubstr("seven"));
  EXPECT_TRUE(trouble);
}

TEST(Words, NeverShowANumberWithoutItsInterval) {
  EXPECT_EQ(show_interval(38.12, 0.11, model::Quantity::HoleDiameter, LengthSystem::Metric),
            "38.12 ± 0.11 mm");
  EXPECT_EQ(show_interval(25.4, 0.254, model::Quantity::HoleDiameter, LengthSystem::Inch),
            "1.000 ± 0.010 in");
  EXPECT_EQ(show_interval(1.2, 0.5, model::Quantity::HoleOvality, LengthSystem::Inch), "1.20 ± 0.50 %");
  EXPECT_EQ(show_interval_bare(38.12, 0.11, LengthSystem::Metric), "38.12 ± 0.11");
}

}  // namespace
}  // namespace spile::gui
