// spile compare: one JSON object as the design's contract has it, sentences for people, and its exit
// statuses. Pictures: tests/data/rendered, by a renderer of other make; what it changed is listed beside
// them.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;

const std::string kRendered = std::string(SPILE_SOURCE_DIR) + "/tests/data/rendered/";
const std::string kEarlier = kRendered + "season_pair_02_a.jpg", kLater = kRendered + "season_pair_02_b.jpg";

TEST(Compare, OneObjectInTheContractsShape) {
  const auto ran = spile({"compare", kEarlier, kLater, "--json", "--reference", "card:20,70,45",
                          "--earlier-reference", "card:24,90,55"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  const auto answer = json::parse(ran.out);
  EXPECT_EQ(answer["aligned"], true);
  EXPECT_LE(answer["residual_px"].get<double>(), 1.0);
  EXPECT_TRUE(answer["refused"].is_null());
  ASSERT_FALSE(answer["changes"].empty());
  for (const auto& change : answer["changes"]) {
    EXPECT_THAT(change["kind"].get<std::string>(), testing::AnyOf("crack", "stain", "chip", "other"));
    EXPECT_EQ(change["centre_px"].size(), 2U);
    EXPECT_NE(change["length_mm"].is_null(), change["area_mm2"].is_null()) << "a length or an area, not both";
    EXPECT_GT(change["u95"].get<double>(), 0);
  }
}

TEST(Compare, ForPeopleItSaysWhatIsNew) {
  const auto ran = spile(
      {"compare", kEarlier, kLater, "--reference", "card:20,70,45", "--earlier-reference", "card:24,90,55"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("new crack"));
  EXPECT_THAT(ran.out, HasSubstr("mm long"));
}

TEST(Compare, DrawsTheChangesAndMeasuresACrackTracedByHand) {
  const app::test::TempFolder folder;
  const auto sheet = folder / "changes.png";
  const auto ran = spile({"compare", kEarlier, kLater, "--json", "--reference", "card:20,70,45",
                          "--earlier-reference", "card:24,90,55", "--annotate", sheet.string(),
                          "--trace-later", "640,830", "--trace-later", "760,850"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_GT(std::filesystem::file_size(sheet), 10000U);
  const auto answer = json::parse(ran.out);
  EXPECT_TRUE(answer["traced"]["earlier"].is_null());
  EXPECT_GT(answer["traced"]["later"]["length_mm"].get<double>(), 1);
  EXPECT_GT(answer["traced"]["later"]["u95_mm"].get<double>(), 0);
  EXPECT_EQ(spile({"compare", kEarlier, kLater, "--trace-later", "640,830"}).status, 2)
      << "one point is no line";
}

TEST(Compare, TheLogbooksPhotosOfTwoSurveysAndTheirTracesKept) {
  const app::test::TempFolder folder;
  const std::string book = (folder / "boat.spile").string();
  const std::string demo = std::string(SPILE_SOURCE_DIR) + "/assets/demo/";
  for (const std::vector<std::string>& step :
       {std::vector<std::string>{"new", book},
        {"survey", book, "2025-04-05"},
        {"opening", book, "P-02", "--side", "port"},
        {"import", book, demo + "p02-hole-2025.jpg", "--opening", "P-02"}})
    ASSERT_EQ(spile(step).status, 0);
  EXPECT_EQ(spile({"compare", book, "P-02"}).status, 1) << "photos of one survey only";
  ASSERT_EQ(spile({"survey", book, "2026-04-11"}).status, 0);
  ASSERT_EQ(spile({"import", book, demo + "p02-hole-2026.jpg", "--opening", "P-02"}).status, 0);
  const auto ran =
      spile({"compare", book, "P-02", "--trace-later", "100,560", "--trace-later", "160,600", "--keep"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("stain"));
  EXPECT_THAT(ran.out, HasSubstr("crack as traced, later"));
  EXPECT_THAT(spile({"show", book, "P-02"}).out, HasSubstr("rack length"));
  EXPECT_EQ(spile({"compare", book, "P-77"}).status, 1);
}

TEST(Compare, ARefusalNamesThePhotoAndExitsWithThree) {
  const app::test::TempFolder folder;
  const auto plain = folder / "notes.jpg";
  app::test::write_text(plain, "not a picture");
  const auto ran = spile({"compare", plain.string(), kLater, "--json"});
  EXPECT_EQ(ran.status, 3);
  EXPECT_EQ(json::parse(ran.out)["refused"]["code"], "unreadable");
  EXPECT_THAT(ran.err, HasSubstr("notes.jpg"));
}

TEST(Compare, AMissingFileIsAnErrorAndABadReferenceWrongUsage) {
  EXPECT_EQ(spile({"compare", "no-such.jpg", kLater}).status, 1);
  EXPECT_EQ(spile({"compare", kEarlier, kLater, "--reference", "plank"}).status, 2);
}

}  // namespace
}  // namespace spile::cli::test
