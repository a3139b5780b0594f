#include "report/survey_report.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <regex>

#include "figures/standing.hpp"
#include "pdf_tools.hpp"
#include "sample_report.hpp"

namespace spile::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

int pages_of(const std::filesystem::path& pdf) {
  const std::string info = test::run("pdfinfo '" + pdf.string() + "'").out;
  std::smatch match;
  return std::regex_search(info, match, std::regex("Pages: +([0-9]+)")) ? std::stoi(match[1]) : 0;
}

// Words in reading order, runs of white space as one blank.
std::string plain(const std::string& text) {
  return std::regex_replace(text, std::regex("\\s+"), " ");
}

std::string words_of(const std::filesystem::path& pdf) {
  const auto ran = test::run("pdftotext -raw -enc UTF-8 '" + pdf.string() + "' -");
  EXPECT_EQ(ran.status, 0) << ran.out;
  return plain(ran.out);
}

class WholeReport : public ::testing::Test {
 protected:
  // One for all the tests that only read it.
  static void SetUpTestSuite() {
    scratch_ = new test::Scratch;
    file_ = *scratch_ / "report.pdf";
    const auto written = write_survey_report(test::sample_report(12, true), file_, Paper::A4);
    ASSERT_TRUE(written) << written.error().sentence();
  }
  static void TearDownTestSuite() { delete scratch_; }
  static test::Scratch* scratch_;
  static std::filesystem::path file_;
};
test::Scratch* WholeReport::scratch_ = nullptr;
std::filesystem::path WholeReport::file_;

TEST_F(WholeReport, IsSoundToAnIndependentReader) {
  const auto check = test::run("qpdf --check '" + file_.string() + "'");
  EXPECT_EQ(check.status, 0) << check.out;
  EXPECT_THAT(check.out, HasSubstr("No syntax or stream encoding errors"));
}

TEST_F(WholeReport, EmbedsEveryFontWithItsText) {
  const auto fonts = test::run("pdffonts '" + file_.string() + "'");
  EXPECT_THAT(fonts.out, HasSubstr("Roboto"));
  // Name, type, encoding, then emb, sub, uni: all yes on every line.
  const std::regex row("^\\S+ +.*(yes|no) +(yes|no) +(yes|no) +[0-9]+ +[0-9]+$");
  std::istringstream lines(fonts.out);
  std::string line;
  int fonts_seen = 0;
  while (std::getline(lines, line)) {
    std::smatch match;
    if (!std::regex_match(line, match, row)) continue;
    ++fonts_seen;
    EXPECT_EQ(match[1], "yes") << line;
    EXPECT_EQ(match[3], "yes") << line;
  }
  EXPECT_GE(fonts_seen, 3);
}

TEST_F(WholeReport, SaysWhatMattersInSearchableText) {
  const std::string words = words_of(file_);
  for (const char* expected :
       {"Wrenfold", "Spring 2026, 11 April 2026", "12 openings through the hull",
        "To be done before she is launched", "38.12 ± 0.11 mm", "18.60 ± 0.50 mm", "95 %", "Steel rule",
        "Source common practice", "Not looked at: S-04", "licensed surveyor", "JCGM 100:2008",
        "ILAC-G8:09/2019", "Photos that belong to no opening yet", "aaaa1001", "needs a block"})
    EXPECT_THAT(words, HasSubstr(expected)) << expected;
  EXPECT_THAT(words, HasSubstr("since 5 April 2025: +0.92 ± 0.19 mm. A real change"));
}

TEST_F(WholeReport, NumbersItsPagesAndItsContentsAgree) {
  const int pages = pages_of(file_);
  ASSERT_GE(pages, 10);
  for (int page = 1; page <= pages; ++page) {
    const auto text = test::run(fmt::format("pdftotext -f {} -l {} '{}' -", page, page, file_.string())).out;
    EXPECT_THAT(text, HasSubstr(fmt::format("Page {} of {}", page, pages)));
  }
  // The contents name the page on which the method really stands.
  const std::string contents =
      test::run(fmt::format("pdftotext -layout -f 2 -l 2 '{}' -", file_.string())).out;
  std::smatch match;
  ASSERT_TRUE(std::regex_search(contents, match, std::regex("How it was measured, and how well +([0-9]+)")))
      << contents;
  const auto there =
      test::run(fmt::format("pdftotext -f {0} -l {0} '{1}' -", match[1].str(), file_.string())).out;
  EXPECT_THAT(there, HasSubstr("guard band"));
}

TEST_F(WholeReport, HasBookmarksLinksAndMetadata) {
  const std::string info = test::run("pdfinfo '" + file_.string() + "'").out;
  EXPECT_THAT(info, HasSubstr("Survey of hull openings: Wrenfold"));
  EXPECT_THAT(info, HasSubstr("Apr 11"));
  const auto json = test::run("qpdf --json --json-key=outlines '" + file_.string() + "'");
  EXPECT_THAT(json.out, HasSubstr("Cautions and limits"));
  EXPECT_THAT(json.out, HasSubstr("P-01"));
  EXPECT_THAT(test::run("qpdf --qdf --object-streams=disable '" + file_.string() +
                        "' - | grep -a -c '/Subtype /Link'")
                  .out,
              Not(::testing::StartsWith("0")));
}

TEST_F(WholeReport, PutsPhotosInAsTheyAre) {
  // pdfimages lists a JPEG passed through as "jpeg", of its own size.
  const auto images = test::run("pdfimages -list '" + file_.string() + "'");
  EXPECT_THAT(images.out, HasSubstr("jpeg"));
  EXPECT_THAT(images.out, HasSubstr(" 800   600 "));
}

TEST(SurveyReport, IsTheSameBytesForTheSameData) {
  test::Scratch scratch;
  const auto data = test::sample_report(4, true);
  ASSERT_TRUE(write_survey_report(data, scratch / "a.pdf", Paper::A4));
  ASSERT_TRUE(write_survey_report(data, scratch / "b.pdf", Paper::A4));
  EXPECT_EQ(bytes_of(scratch / "a.pdf"), bytes_of(scratch / "b.pdf"));
}

TEST(SurveyReport, FitsUsLetter) {
  test::Scratch scratch;
  ASSERT_TRUE(write_survey_report(test::sample_report(6, false), scratch / "letter.pdf", Paper::Letter));
  // ANSI/ASME Y14.1: 8.5 x 11 in, 612 x 792 points.
  EXPECT_THAT(test::run("pdfinfo '" + (scratch / "letter.pdf").string() + "'").out, HasSubstr("612 x 792"));
}

TEST(SurveyReport, ComesOutWholeWithNothingInIt) {
  test::Scratch scratch;
  ASSERT_TRUE(write_survey_report({}, scratch / "bare.pdf", Paper::A4));
  EXPECT_EQ(test::run("qpdf --check '" + (scratch / "bare.pdf").string() + "'").status, 0);
  EXPECT_THAT(words_of(scratch / "bare.pdf"), HasSubstr("No opening is recorded"));
}

// Who hands the report on must be able to see that a limit is the yard's and not the program's.
TEST(SurveyReport, SaysWhichFiguresAreTheYardsOwn) {
  const test::Scratch scratch;
  auto data = test::sample_report(2, false);
  ASSERT_TRUE(write_survey_report(data, scratch / "ours.pdf", Paper::A4));
  EXPECT_THAT(words_of(scratch / "ours.pdf"),
              HasSubstr("figures are those that come with the program; each"));
  data.yard_rows = {"thresholds.csv: reinforce.single-skin.min"};
  ASSERT_TRUE(write_survey_report(data, scratch / "yard.pdf", Paper::A4));
  EXPECT_THAT(words_of(scratch / "yard.pdf"),
              HasSubstr("rows of this yard's own: thresholds.csv: reinforce.single-skin.min."));
}

ReportWater some_water() {
  ReportWater water;
  ReportRun run;
  run.title = "S-02 galley sink";
  run.headline = "1 joint does not match; 17 % of the widest bore is left at the narrowest.";
  run.standing = rules::Standing::Act;
  run.joints = "size";
  run.bore = "10 mm";
  run.flow = "8 (7 to 9)";
  run.sea = "DANGER: can siphon the sea in";
  run.parts = {{"1. Hose, smooth bore, 25 mm", "Size: 25 mm hose on tail for 13 mm hose."},
               {"2. Hose tail", ""}};
  run.says = {"At rest: 8 L/min (7 to 9), falling 300 mm."};
  run.dangers = {"Once the run is full the sea runs in."};
  run.remedies = {
      {"All of it 1 in (25 mm hose)", {"Replace the tail.", "To buy: Hose tail, 1 NPT to 25 mm hose."}}};
  figures::Figure figure{100, 30, "The run from fixture to sea", {}};
  figure.items.emplace_back(figures::Label{{5, 5}, "narrowest", 2.5, figures::Role::Act});
  run.figures = {figure};
  water.runs = {run};
  water.floods = {
      {1, "P-02", "Toilet discharge", "fitting gone, bare hole, 50 mm", "169 (159 to 179)", "17", "280",
       "2.4 min", "3.7 min"},
      {0, "S-07", "Gas locker drain", "Out of the water at rest and heeled.", "", "", "", "", ""}};
  water.pumps = "Pumps 59 L/min: 1 bilge pump.";
  water.sole_column = "Sole wet in";
  water.cautions = {"These are estimates to plan with, not promises."};
  return water;
}

TEST(SurveyReport, ShowsRunsAndFlooding) {
  const test::Scratch scratch;
  auto data = test::sample_report(2, false);
  ASSERT_TRUE(write_survey_report(data, scratch / "dry.pdf", Paper::A4));
  EXPECT_THAT(words_of(scratch / "dry.pdf"), Not(HasSubstr("What comes in if one lets go")));
  data.water = some_water();
  for (const auto paper : {Paper::A4, Paper::Letter}) {
    ASSERT_TRUE(write_survey_report(data, scratch / "water.pdf", paper));
    const auto words = words_of(scratch / "water.pdf");
    for (const char* said : {"What comes in if one lets go", "169 (159 to 179)", "2.4 min", "3.7 min",
                             "Buckets a minute", "A bucket is 10 L", "estimates to plan with",
                             "S-07: Out of the water", "Pumps 59 L/min", "Runs of hose and parts",
                             "DANGER: can siphon the sea in", "Size: 25 mm hose on tail for 13 mm hose.",
                             "falling 300 mm", "Once the run is full the sea runs in.",
                             "All of it 1 in (25 mm hose)", "To buy: Hose tail", "narrowest"})
      EXPECT_THAT(words, HasSubstr(said)) << said;
    EXPECT_EQ(test::run("qpdf --check '" + (scratch / "water.pdf").string() + "'").status, 0);
  }
  const auto json = test::run("qpdf --json --json-key=outlines '" + (scratch / "water.pdf").string() + "'");
  EXPECT_THAT(json.out, HasSubstr("S-02 galley sink"));
}

// Work to come of which little is recorded takes one line, and says what to look at.
TEST(SurveyReport, WhatIsOpenAboutWorkToComeTakesALine) {
  const test::Scratch scratch;
  auto data = test::sample_report(1, false);
  rules::Verdict room;
  room.rule = "room";
  room.title = "Room inside";
  room.planning = true;
  room.headline = "Whether tail and hose have room inside is not known yet.";
  room.would_change = {"The clear room inside, with a tape."};
  room.reasons = {"A reason that would fill the page."};
  data.openings.front().verdicts = {room};
  ASSERT_TRUE(write_survey_report(data, scratch / "open.pdf", Paper::A4));
  const auto words = words_of(scratch / "open.pdf");
  EXPECT_THAT(words, HasSubstr("To settle it: The clear room inside, with a tape."));
  EXPECT_THAT(words, Not(HasSubstr("would fill the page")));
}

TEST(SurveyReport, CarriesTwoHundredOpenings) {
  test::Scratch scratch;
  ASSERT_TRUE(write_survey_report(test::sample_report(200, false), scratch / "many.pdf", Paper::A4));
  const std::string words = words_of(scratch / "many.pdf");
  EXPECT_THAT(words, HasSubstr("S-200"));
  EXPECT_THAT(words, HasSubstr("200 openings through the hull"));
}

TEST(SurveyReport, CarriesNamesInAnyScriptAndLongNotes) {
  test::Scratch scratch;
  SurveyReport data = test::sample_report(2, false);
  data.vessel.name = "Αύρα Волна";
  data.openings[0].service = "Ηλιος слив";
  std::string note;
  while (note.size() < 10000) note += "Looked again at the weeping joint and wrote it down. ";
  note += "THE-LAST-WORD";
  data.openings[0].record.push_back({"Notes", note});
  ASSERT_TRUE(write_survey_report(data, scratch / "any.pdf", Paper::A4));
  const std::string words = words_of(scratch / "any.pdf");
  EXPECT_THAT(words, HasSubstr("Αύρα Волна"));
  EXPECT_THAT(words, HasSubstr("Ηλιος слив"));
  EXPECT_THAT(words, HasSubstr("THE-LAST-WORD"));
}

TEST(SurveyReport, SurvivesBrokenTextAndAMissingPicture) {
  test::Scratch scratch;
  SurveyReport data = test::sample_report(1, false);
  data.openings[0].record.push_back({"Notes", "bad \xff\xfe bytes"});
  data.openings[0].mark.tag = "it's \\ odd";
  data.openings[0].photos.push_back({"gone.jpg", "", "The photo could not be read.", "", 0, 0, {}, 0, 0, {}});
  const auto written = write_survey_report(data, scratch / "odd.pdf", Paper::A4);
  ASSERT_TRUE(written) << written.error().sentence();
  EXPECT_EQ(test::run("qpdf --check '" + (scratch / "odd.pdf").string() + "'").status, 0);
  EXPECT_THAT(words_of(scratch / "odd.pdf"), HasSubstr("could not be read"));
}

TEST(SurveyReport, LeavesTheOldFileWhenCancelled) {
  test::Scratch scratch;
  std::ofstream(scratch / "report.pdf") << "old";
  const auto written = write_survey_report(test::sample_report(5, false), scratch / "report.pdf", Paper::A4,
                                           [](int done, int) { return done >= 3; });
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, ErrorCode::Cancelled);
  EXPECT_EQ(bytes_of(scratch / "report.pdf"), "old");
}

}  // namespace
}  // namespace spile::report
