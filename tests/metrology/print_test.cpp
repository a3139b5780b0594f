#include "metrology/print.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace spile::metrology {
namespace {

TEST(PrintInterval, GivesTheIntervalTwoDigitsAndTheValueThePlace) {
  // JCGM 100:2008, 7.2.6: at most two significant digits, the value rounded to the same place; 7.2.4's
  // example is (100,021 47 ± 0,000 79) g.
  EXPECT_EQ(print_interval(100.02147, 0.00079, "g"), "100.02147 ± 0.00079 g");
  EXPECT_EQ(print_interval(38.1234, 0.1149, "mm"), "38.12 ± 0.11 mm");
  EXPECT_EQ(print_interval(18.6, 0.5, "mm"), "18.60 ± 0.50 mm");
  EXPECT_EQ(print_interval(152.4, 12.3, "mm"), "152 ± 12 mm");
  EXPECT_EQ(print_interval(1523, 123, ""), "1523 ± 123");
}

TEST(PrintInterval, KeepsThePlaceWhenTheIntervalRoundsUp) {
  EXPECT_EQ(print_interval(12.345, 0.0997, "mm"), "12.35 ± 0.10 mm");
  EXPECT_EQ(print_interval(12.345, 0.997, "mm"), "12.3 ± 1.0 mm");
}

TEST(PrintInterval, LeavesAnUnusableIntervalOut) {
  EXPECT_EQ(print_interval(12.345, 0, "mm"), "12.35 mm");
  EXPECT_EQ(print_interval(12.345, std::numeric_limits<double>::infinity(), "mm"), "12.35 mm");
}

}  // namespace
}  // namespace spile::metrology
