// Small works on text.
#include "db/text.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

namespace spile::db {
namespace {

TEST(NaturalOrder, NumbersCountAsNumbers) {
  EXPECT_TRUE(natural_less("P-2", "P-10"));
  EXPECT_FALSE(natural_less("P-10", "P-2"));
  EXPECT_TRUE(natural_less("p-2", "P-10"));
  EXPECT_TRUE(natural_less("P-1", "P-1a"));
  EXPECT_TRUE(natural_less("a99999999999999999999998", "a99999999999999999999999"));
  EXPECT_FALSE(natural_less("P-2", "P-2"));
  EXPECT_TRUE(natural_less("P-02", "P-2") != natural_less("P-2", "P-02"))
      << "told apart, one way or the other";
}

rc::Gen<std::string> tags() {
  return rc::gen::container<std::string>(rc::gen::elementOf(std::string("aAbP-0129 ")));
}

RC_GTEST_PROP(NaturalOrder, IsAStrictTotalOrder, ()) {
  const auto a = *tags(), b = *tags(), c = *tags();
  RC_ASSERT(!natural_less(a, a));
  RC_ASSERT((a == b) == (!natural_less(a, b) && !natural_less(b, a)));
  if (natural_less(a, b) && natural_less(b, c)) RC_ASSERT(natural_less(a, c));
}

RC_GTEST_PROP(ValidUtf8, LeavesGoodTextAndNeverFails, (const std::string& bytes)) {
  const auto once = valid_utf8(bytes);
  RC_ASSERT(valid_utf8(once) == once);
  if (std::all_of(bytes.begin(), bytes.end(), [](char c) { return c >= 0; })) RC_ASSERT(once == bytes);
}

TEST(ValidUtf8, ReplacesOnlyWhatIsBroken) {
  EXPECT_EQ(valid_utf8("Zwölf 船 😀"), "Zwölf 船 😀");
  EXPECT_EQ(valid_utf8("a\xFF"
                       "b"),
            "a\uFFFD"
            "b");
  EXPECT_EQ(valid_utf8("\xC3"), "\uFFFD");
}

TEST(Sentence, HasACapitalAndAFullStop) {
  EXPECT_EQ(as_sentence("the tag is taken"), "The tag is taken.");
  EXPECT_EQ(as_sentence("Done."), "Done.");
  EXPECT_EQ(as_sentence(""), "");
  EXPECT_EQ(plural(1, "byte"), "1 byte");
  EXPECT_EQ(plural(0, "byte"), "0 bytes");
}

TEST(UtcNow, IsWrittenAsTheLogbookWantsIt) {
  const auto now = utc_now();
  ASSERT_EQ(now.size(), 20U);
  EXPECT_EQ(now[10], 'T');
  EXPECT_EQ(now[19], 'Z');
  EXPECT_GE(now, "2024-01-01T00:00:00Z");
}

}  // namespace
}  // namespace spile::db
