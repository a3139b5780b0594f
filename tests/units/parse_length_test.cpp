#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "units/text.hpp"

using namespace spile;
using namespace spile::units;
using testing::HasSubstr;

namespace {

struct Typed {
  const char* text;
  double mm;
  LengthSystem system;
  bool stated;
};

std::ostream& operator<<(std::ostream& out, const Typed& t) {
  return out << t.text;
}

class Understood : public testing::TestWithParam<Typed> {};
class Refused : public testing::TestWithParam<const char*> {};

constexpr auto kMetric = LengthSystem::Metric;
constexpr auto kInch = LengthSystem::Inch;

}  // namespace

TEST_P(Understood, AsTyped) {
  const auto read = parse_length(GetParam().text);
  ASSERT_TRUE(read) << read.error().sentence();
  EXPECT_NEAR(read->length.value(), GetParam().mm, 1e-9);
  EXPECT_EQ(read->system, GetParam().system);
  EXPECT_EQ(read->stated, GetParam().stated);
}

// Expected values: arithmetic on the exact definitions 1 in = 25.4 mm, 1 ft = 12 in (yard and pound agreement
// 1959).
INSTANTIATE_TEST_SUITE_P(
    Metric, Understood,
    testing::Values(Typed{"38 mm", 38, kMetric, true}, Typed{"38mm", 38, kMetric, true},
                    Typed{"  38  MM ", 38, kMetric, true}, Typed{"3.8cm", 38, kMetric, true},
                    Typed{"0.5 m", 500, kMetric, true}, Typed{"0,5 m", 500, kMetric, true},
                    Typed{"38,12 mm", 38.12, kMetric, true}, Typed{".5 m", 500, kMetric, true},
                    Typed{"-120 mm", -120, kMetric, true}, Typed{"+120 mm", 120, kMetric, true},
                    Typed{"−120 mm", -120, kMetric, true}, Typed{"38\u00a0mm", 38, kMetric, true},
                    Typed{"Ø38 mm", 38, kMetric, true}, Typed{"⌀ 38 mm", 38, kMetric, true},
                    Typed{"10.25 metres", 10250, kMetric, true}, Typed{"0 mm", 0, kMetric, true},
                    Typed{"0,375 mm", 0.375, kMetric, true}, Typed{"1.500 m", 1500, kMetric, true}));

INSTANTIATE_TEST_SUITE_P(
    Inches, Understood,
    testing::Values(Typed{"1 1/2 in", 38.1, kInch, true}, Typed{"1-1/2\"", 38.1, kInch, true},
                    Typed{"1 - 1/2 in", 38.1, kInch, true}, Typed{"1.5\"", 38.1, kInch, true},
                    Typed{"1,5 in", 38.1, kInch, true}, Typed{"3/4\"", 19.05, kInch, true},
                    Typed{"3/4 in.", 19.05, kInch, true}, Typed{"3 / 4 inch", 19.05, kInch, true},
                    Typed{"1½\"", 38.1, kInch, true}, Typed{"1 ½ in", 38.1, kInch, true},
                    Typed{"½ inch", 12.7, kInch, true}, Typed{"1½″", 38.1, kInch, true},
                    Typed{"1 1⁄2”", 38.1, kInch, true}, Typed{"-1-1/2 in", -38.1, kInch, true},
                    Typed{"63/64 in", 25.003125, kInch, true}, Typed{"1½''", 38.1, kInch, true}));

INSTANTIATE_TEST_SUITE_P(
    FeetAndInches, Understood,
    testing::Values(Typed{"2 ft 3 in", 685.8, kInch, true}, Typed{"2ft3in", 685.8, kInch, true},
                    Typed{"1' 2-1/2\"", 368.3, kInch, true}, Typed{"1'2½\"", 368.3, kInch, true},
                    Typed{"1'-2 1/2\"", 368.3, kInch, true}, Typed{"1′ 2½″", 368.3, kInch, true},
                    Typed{"2 ft", 609.6, kInch, true}, Typed{"2.5 feet", 762, kInch, true},
                    Typed{"1' 2", 355.6, kInch, true}, Typed{"-2 ft 3 in", -685.8, kInch, true}));

INSTANTIATE_TEST_SUITE_P(Bare, Understood,
                         testing::Values(Typed{"38", 38, kMetric, false}, Typed{"3.8", 3.8, kMetric, false},
                                         Typed{"-12", -12, kMetric, false}, Typed{"3/4", 19.05, kInch, false},
                                         Typed{"1 1/2", 38.1, kInch, false},
                                         Typed{"1-1/2", 38.1, kInch, false},
                                         Typed{"¾", 19.05, kInch, false}));

TEST(ParseLength, ABareNumberIsWhatTheCallerSays) {
  const auto read = parse_length("1.5", LengthSystem::Inch);
  ASSERT_TRUE(read);
  EXPECT_DOUBLE_EQ(read->length.value(), 38.1);
  EXPECT_EQ(read->system, LengthSystem::Inch);
  EXPECT_FALSE(read->stated);
}

TEST(ParseLength, ABareFractionIsInchesWhateverTheCallerSays) {
  for (const auto system : {LengthSystem::Metric, LengthSystem::Inch}) {
    const auto read = parse_length("1 1/2", system);
    ASSERT_TRUE(read);
    EXPECT_DOUBLE_EQ(read->length.value(), 38.1);
    EXPECT_FALSE(read->stated);
  }
}

TEST_P(Refused, WithAnExample) {
  const auto read = parse_length(GetParam());
  ASSERT_FALSE(read) << "read as " << read->length.value() << " mm";
  EXPECT_EQ(read.error().code, ErrorCode::BadInput);
  EXPECT_THAT(read.error().remedy, HasSubstr("38 mm"));
}

INSTANTIATE_TEST_SUITE_P(Junk, Refused,
                         testing::Values("", "   ", "mm", "about 38", "38 mm or so", "38 kg", "38 mm mm",
                                         "3//4", "3/0", "3/", "/4", "1 2", "1 2/", "--5 mm", "- mm",
                                         "38 38 mm", "1.2.3 mm", "38.", "1e3 mm", "nan", "inf mm", "0x10",
                                         "2 ft 3 ft", "2 ft 3 mm", "2.5 ft 3 in", "1 m 20 cm", "99999999 m",
                                         "1234567890123456789 mm", "1/2/3", "ⅠⅠ mm", "38 mm\n;", "1-",
                                         "\xff\xfe"));

TEST(ParseLength, AThousandsSignIsNeverTakenForADecimalSign) {
  const auto read = parse_length("1,500 mm");
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().what, HasSubstr("1.500 or as 1500"));
  EXPECT_FALSE(parse_length("1,234.5 mm"));
  EXPECT_FALSE(parse_length("1.234,5 mm"));
}

TEST(ParseLength, QuotesWhatWasTypedAndWhatIsLeftOver) {
  const auto read = parse_length("38 mm or so");
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().what, HasSubstr("\"38 mm or so\""));
  EXPECT_THAT(read.error().what, HasSubstr("\"or so\""));
}
