#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "units/text.hpp"

using namespace spile::units;

namespace {

// Tenths of a micrometre over twenty metres either way: everything a craft has, finer than anything prints.
rc::Gen<Millimetre> any_length() {
  return rc::gen::map(rc::gen::inRange<long long>(-200'000'000, 200'000'001),
                      [](long long v) { return Millimetre(static_cast<double>(v) / 1e4); });
}

const std::vector<int> kDenominators = {1, 2, 4, 8, 16, 32, 64};

}  // namespace

RC_GTEST_PROP(RoundTrip, MetricToThePrintedDigit, ()) {
  const auto length = *any_length();
  const int decimals = *rc::gen::inRange(0, 5);
  const auto read = parse_length(print_metric(length, decimals));
  RC_ASSERT(read.has_value());
  RC_ASSERT(read->stated);
  RC_ASSERT(read->system == LengthSystem::Metric);
  RC_ASSERT(std::abs((read->length - length).value()) <= 0.5 * std::pow(10, -decimals) + 1e-9);
}

RC_GTEST_PROP(RoundTrip, PrintingAgainChangesNothing, ()) {
  const int decimals = *rc::gen::inRange(0, 5);
  const auto text = print_metric(*any_length(), decimals);
  RC_ASSERT(print_metric(parse_length(text)->length, decimals) == text);
}

RC_GTEST_PROP(RoundTrip, InchesToHalfADivision, ()) {
  const auto length = *any_length();
  const int denominator = *rc::gen::elementOf(kDenominators);
  const auto read = parse_length(print_inches(length, denominator));
  RC_ASSERT(read.has_value());
  RC_ASSERT(read->system == LengthSystem::Inch);
  RC_ASSERT(std::abs(in_inches(read->length - length)) <= 0.5 / denominator + 1e-9);
}

RC_GTEST_PROP(RoundTrip, EitherSystemWithinASixtyFourth, ()) {
  const auto length = *any_length();
  const auto system = *rc::gen::element(LengthSystem::Metric, LengthSystem::Inch);
  const auto read = parse_length(print_length(length, system));
  RC_ASSERT(read.has_value());
  RC_ASSERT(std::abs((read->length - length).value()) <= kMillimetresPerInch / 128 + 1e-9);
}

TEST(RoundTrip, EverySixtyFourthFromMinusFourToFourFeet) {
  for (int n = -48 * 64; n <= 48 * 64; ++n) {
    const auto length = inches(n / 64.0);
    for (const auto& text : {print_inches(length), print_length(length, LengthSystem::Inch)}) {
      const auto read = parse_length(text);
      ASSERT_TRUE(read) << text;
      ASSERT_NEAR(in_inches(read->length) * 64, n, 1e-9) << text;
    }
  }
}

// Whatever bytes come in, the answer is a length or a refusal, never a crash and never a number that is not
// finite.
RC_GTEST_PROP(ParseLength, SurvivesAnyBytes, (const std::string& bytes)) {
  const auto read = parse_length(bytes);
  RC_ASSERT(!read || std::isfinite(read->length.value()));
}

RC_GTEST_PROP(ParseLength, SurvivesAnyMixOfItsOwnWords, ()) {
  const auto parts = *rc::gen::container<std::vector<std::string>>(rc::gen::element<std::string>(
      "1", "12", "0", "/", "-", " ", ".", ",", "\"", "'", "in", "ft", "mm", "m", "½", "+", "64"));
  std::string text;
  for (const auto& part : parts) text += part;
  const auto read = parse_length(text);
  RC_ASSERT(!read || std::abs(read->length.value()) <= 1e6);
}

RC_GTEST_PROP(RoundTrip, AnglesAndFlows, ()) {
  const double value = *rc::gen::inRange(0, 3'600'000) / 1e4;
  RC_ASSERT(std::abs(parse_angle(print_angle(Degree(value), 3))->value() - value) <= 5.01e-4);
  RC_ASSERT(std::abs(parse_flow(print_flow(LitrePerMinute(value), 3))->value() - value) <= 5.01e-4);
}
