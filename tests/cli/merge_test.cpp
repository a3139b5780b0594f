// Two people survey bow and stern on two laptops, and then want one logbook.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::SizeIs;

class MergeCommand : public testing::Test {
 protected:
  void SetUp() override {
    run({"new", mine_});
    run({"opening", mine_, "P-01", "--side", "port", "--height", "-100 mm"});
    std::filesystem::copy(mine_, theirs_, std::filesystem::copy_options::recursive);
  }
  static Ran run(const std::vector<std::string>& arguments, int status = 0) {
    auto ran = spile(arguments);
    EXPECT_EQ(ran.status, status) << testing::PrintToString(arguments) << ran.err;
    return ran;
  }
  [[nodiscard]] json opening(const std::string& tag) const {
    return json::parse(run({"show", mine_, tag, "--json"}).out);
  }

  app::test::TempFolder folder_;
  std::string mine_ = (folder_ / "bow.spile").string(), theirs_ = (folder_ / "stern.spile").string();
};

TEST_F(MergeCommand, BringsInWhatTheOtherRecorded) {
  run({"opening", mine_, "P-02", "--side", "port"});
  run({"opening", theirs_, "S-01", "--side", "starboard"});
  run({"type", theirs_, "S-01", "hole-diameter", "38.2 mm", "--method", "caliper"});
  const auto merged = run({"merge", mine_, theirs_});
  EXPECT_THAT(merged.err, HasSubstr("1 opening"));
  EXPECT_THAT(json::parse(run({"show", mine_, "--json"}).out)["openings"], SizeIs(3));
  EXPECT_THAT(run({"verify", mine_}).out, HasSubstr("whole"));
  EXPECT_THAT(run({"merge", mine_, theirs_}).err, HasSubstr("nothing to bring in"));
  EXPECT_THAT(run({"undo", mine_}).out, HasSubstr("Merge stern.spile"));
}

TEST_F(MergeCommand, AsksBeforeItDecidesAndTakesTheAnswer) {
  run({"opening", mine_, "P-01", "--height", "-90 mm"});
  run({"opening", theirs_, "P-01", "--height", "-120 mm"});
  const auto asked = run({"merge", mine_, theirs_}, 3);
  EXPECT_THAT(asked.out, HasSubstr("P-01: height (mm)\n  before: -100\n  mine:   -90\n  theirs: -120\n"));
  EXPECT_THAT(asked.err, HasSubstr("Nothing was changed"));
  const auto listed = json::parse(run({"merge", mine_, theirs_, "--json"}, 3).out);
  EXPECT_EQ(listed["open"][0]["key"], "P-01: height (mm)");
  EXPECT_EQ(listed["written"], false);
  run({"merge", mine_, theirs_, "--choose", "P-01: height (mm)=theirs"});
  EXPECT_THAT(run({"show", mine_, "P-01"}).out, HasSubstr("120"));
  run({"undo", mine_});
  run({"merge", mine_, theirs_, "--keep", "mine"});
  EXPECT_THAT(run({"show", mine_, "P-01"}).out, HasSubstr("90"));
}

TEST_F(MergeCommand, SaysWhatIsWrongInOneSentence) {
  EXPECT_THAT(run({"merge", mine_, mine_}, 2).err, HasSubstr("with itself"));
  EXPECT_THAT(run({"merge", mine_, theirs_, "--choose", "nonsense"}, 2).err, HasSubstr("chooses nothing"));
  run({"merge", mine_, (folder_ / "none.spile").string()}, 1);
  const auto other = (folder_ / "other.spile").string();
  run({"new", other});
  run({"opening", other, "X-1"});
  // Two logbooks that hold nothing in common have an empty one in common, and are simply added up.
  EXPECT_THAT(run({"merge", mine_, other}).err, HasSubstr("1 opening"));
}

}  // namespace
}  // namespace spile::cli::test
