// From season to season by the command line: next survey, walk round, trends, what is due.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

class Seasons : public testing::Test {
 protected:
  Seasons() {
    run({"new", logbook_});
    run({"opening", logbook_, "P-01", "--service", "cockpit-drain", "--side", "port", "--height", "-100 mm",
         "--from-bow", "3 m"});
    run({"opening", logbook_, "S-01", "--service", "speed-log", "--side", "starboard"});
    for (int i = 0; i < 3; ++i) {
      const auto date = std::to_string(2030 + i) + "-04-10";
      run({"survey", logbook_, date});
      run({"observe", logbook_, "P-01", "--condition", "worn", "--valve", "stiff", "--survey", date});
      run({"type", logbook_, "P-01", "crack-length", std::to_string(10 + 5 * i) + " mm", "--method",
           "caliper", "--u95", "1 mm", "--survey", date});
    }
  }
  static Ran run(const std::vector<std::string>& arguments) {
    auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 0) << ran.err;
    return ran;
  }

  app::test::TempFolder folder_;
  std::string logbook_ = (folder_ / "heron.spile").string();
};

TEST_F(Seasons, TrendsAreSaidAndParse) {
  const auto text = run({"trends", logbook_, "--tag", "P-01", "--limit", "crack-length>40mm"}).out;
  EXPECT_THAT(text, HasSubstr("Crack length: Changed: +5."));
  EXPECT_THAT(text, HasSubstr("reached about 2036"));
  EXPECT_THAT(text, HasSubstr("Condition: Too few"));
  const auto object = json::parse(run({"trends", logbook_, "--tag", "P-01", "--json"}).out);
  EXPECT_EQ(object["quantities"][0]["quantity"], "crack-length");
  EXPECT_EQ(object["quantities"][0]["values"].size(), 3U);
  EXPECT_NEAR(object["quantities"][0]["rate"]["per_year"].get<double>(), 5, 0.02);
  EXPECT_TRUE(object["quantities"][0]["limit"].is_null());
}

TEST_F(Seasons, ALimitThatIsNoneIsWrongUsage) {
  for (const char* limit : {"crack-length", "crack>40", "crack-length>wide"}) {
    const auto ran = spile({"trends", logbook_, "--limit", limit});
    EXPECT_EQ(ran.status, 2) << limit;
    EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
  }
}

TEST_F(Seasons, TheNextSurveyBeginsFromTheLast) {
  const auto begun = run({"survey", logbook_, "2033-04-10", "--from-last"});
  EXPECT_THAT(begun.err, HasSubstr("0 of 2 looked at, 1 to be confirmed, 1 not looked at"));
  const auto list = run({"checklist", logbook_}).out;
  EXPECT_THAT(list, HasSubstr("[ ] S-01"));
  EXPECT_THAT(list, HasSubstr("[?] P-01"));
  EXPECT_LT(list.find("S-01"), list.find("P-01")) << "the walk goes down the starboard side first";
  run({"checklist", logbook_, "--confirm", "P-01"});
  EXPECT_THAT(run({"checklist", logbook_}).out, HasSubstr("[x] P-01"));
  const auto parsed = json::parse(run({"checklist", logbook_, "--json"}).out);
  EXPECT_EQ(parsed["looked"], 1);
  EXPECT_EQ(parsed["walk"].size(), 2U);
  EXPECT_EQ(spile({"survey", logbook_, "2033-04-10", "--from-last"}).status, 2);
  run({"undo", logbook_});
  EXPECT_THAT(run({"checklist", logbook_}).out, HasSubstr("[?] P-01"));
}

TEST_F(Seasons, VerifyNamesWhatWasNotLookedAt) {
  run({"survey", logbook_, "2033-04-10", "--from-last"});
  const auto text = run({"verify", logbook_}).out;
  EXPECT_THAT(text, HasSubstr("whole"));
  EXPECT_THAT(text, HasSubstr("Not looked at in the survey of 2033-04-10: S-01."));
  EXPECT_THAT(text, HasSubstr("To be confirmed in the survey of 2033-04-10: P-01."));
}

TEST_F(Seasons, DueIsAskedForAnyDay) {
  const auto text = run({"due", logbook_, "--on", "2032-10-11"}).out;
  EXPECT_THAT(text, HasSubstr("S-01"));
  EXPECT_THAT(text, HasSubstr("never done"));
  EXPECT_THAT(text, HasSubstr("overdue since 2032-10-10 (1 day)"));
  EXPECT_THAT(text, HasSubstr("common practice"));
  const auto parsed = json::parse(run({"due", logbook_, "--on", "2032-10-11", "--json"}).out);
  EXPECT_EQ(parsed["on"], "2032-10-11");
  EXPECT_EQ(parsed["due"][0]["tag"], "S-01");
  EXPECT_TRUE(parsed["due"][0]["due"].is_null());
  EXPECT_EQ(spile({"due", logbook_, "--on", "soon"}).status, 2);
}

TEST_F(Seasons, AYardsIntervalChangesWhatIsDue) {
  const auto table = folder_ / "intervals.csv";
  app::test::write_text(
      table,
      "key,label,task,service,material,zone,condition,months,note,source\n"
      "valve-below,Valve below the waterline,work-valve,,,below-waterline,,12,,common practice\n");
  run({"rules", logbook_, "--lay", table.string()});
  EXPECT_THAT(run({"due", logbook_, "--on", "2032-10-11", "--all"}).out, HasSubstr("due by 2033-04-10"));
}

}  // namespace
}  // namespace spile::cli::test
