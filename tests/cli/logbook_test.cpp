// The logbook commands as a person uses them one after the other: what the window does can be scripted.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

namespace fs = std::filesystem;
using app::test::draw;
using nlohmann::json;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;

class Logbook : public testing::Test {
 protected:
  app::test::TempFolder folder_;
  std::string logbook_ = (folder_ / "heron.spile").string();

  void SetUp() override {
    run({"new", (folder_ / "heron").string()});
    run({"vessel", logbook_, "--name", "Marsh Heron", "--type", "sail-monohull", "--length", "9.8 m"});
    run({"opening", logbook_, "P-03", "--service", "galley-sink-drain", "--side", "port", "--height",
         "-180 mm", "--material", "tin-bronze"});
  }
  static Ran run(const std::vector<std::string>& arguments) {
    auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 0) << testing::PrintToString(arguments) << ran.err;
    return ran;
  }
  json show(const std::string& tag = {}) const {
    std::vector<std::string> arguments = {"show", logbook_};
    if (!tag.empty()) arguments.push_back(tag);
    arguments.emplace_back("--json");
    return json::parse(run(arguments).out);
  }
};

TEST_F(Logbook, NewSaysWhereAndIsEmpty) {
  const auto ran = run({"new", (folder_ / "tern").string()});
  EXPECT_EQ(ran.out, (folder_ / "tern.spile").string() + "\n");
  const auto logbook = json::parse(run({"show", (folder_ / "tern").string(), "--json"}).out);
  EXPECT_TRUE(logbook["vessel"].is_null());
  EXPECT_THAT(logbook["openings"], IsEmpty());
  EXPECT_THAT(logbook["surveys"], IsEmpty());
}

// The value shown is the one judged: the surest of the newest survey, not the last one typed.
TEST_F(Logbook, TheListShowsTheValueTheVerdictsGoBy) {
  run({"type", logbook_, "P-03", "laminate-thickness", "20 mm", "--method", "caliper"});
  run({"type", logbook_, "P-03", "laminate-thickness", "20.3 mm", "--method", "steel-rule"});
  EXPECT_THAT(run({"show", logbook_}).out, HasSubstr("20.00 ± "));
  EXPECT_THAT(run({"verdict", logbook_, "P-03"}).out, HasSubstr("20.00 ± "));
}

TEST_F(Logbook, LengthsAreReadAsPeopleWriteThem) {
  EXPECT_DOUBLE_EQ(show()["vessel"]["length_mm"].get<double>(), 9800);
  EXPECT_DOUBLE_EQ(show("P-03")["height_mm"].get<double>(), -180);
  run({"opening", logbook_, "P-03", "--height", "-7 1/2 in", "--from-bow", "3,2 m"});
  EXPECT_DOUBLE_EQ(show("P-03")["height_mm"].get<double>(), -190.5);  // 25.4 mm an inch, exact
  EXPECT_DOUBLE_EQ(show("P-03")["from_bow_mm"].get<double>(), 3200);
  run({"opening", logbook_, "P-03", "--height", "unknown"});
  EXPECT_TRUE(show("P-03")["height_mm"].is_null());
  EXPECT_EQ(show("P-03")["service"], "galley-sink-drain");  // what is left out stays
}

TEST_F(Logbook, ObservedInOneSurvey) {
  run({"observe", logbook_, "P-03", "--condition", "worn", "--valve", "stiff", "--valve-kind", "flanged-ball",
       "--backing", "present", "--backing-material", "glass-epoxy", "--backing-thickness", "1/2 in", "--note",
       "weeps when worked"});
  const auto seen = show("P-03")["observation"];
  EXPECT_EQ(seen["seen"], "looked");
  EXPECT_EQ(seen["condition"], "worn");
  EXPECT_EQ(seen["valve"], "stiff");
  EXPECT_EQ(seen["backing_material"], "glass-epoxy");
  EXPECT_DOUBLE_EQ(seen["backing_thickness_mm"].get<double>(), 12.7);
  EXPECT_EQ(seen["notes"], "weeps when worked");
  EXPECT_TRUE(seen["waterline"].is_null());
  run({"survey", logbook_, "2099-04-12", "--title", "Spring 2099"});
  EXPECT_TRUE(show("P-03")["observation"].is_null());
  const auto first = show()["surveys"][0]["date"].get<std::string>();
  const auto then = json::parse(run({"show", logbook_, "P-03", "--json", "--survey", first}).out);
  EXPECT_EQ(then["observation"]["condition"], "worn");
}

TEST_F(Logbook, ATypedValueIsShownBack) {
  const auto ran = run({"type", logbook_, "P-03", "laminate-thickness", "5/8", "--method", "caliper"});
  EXPECT_THAT(ran.out, testing::StartsWith("laminate thickness 15.88"));
  EXPECT_THAT(ran.err, HasSubstr("read from \"5/8\""));
  run({"type", logbook_, "P-03", "hole-diameter", "1-1/2 in", "--method", "steel-rule", "--u95", "0.4 mm"});
  const auto values = show("P-03")["measurements"];
  ASSERT_THAT(values, SizeIs(2));
  EXPECT_DOUBLE_EQ(values[1]["value"].get<double>(), 38.1);
  EXPECT_DOUBLE_EQ(values[1]["u95"].get<double>(), 0.4);
  run({"withdraw", logbook_, std::to_string(values[0]["id"].get<int>())});
  EXPECT_THAT(show("P-03")["measurements"], SizeIs(1));
}

TEST_F(Logbook, UndoAndRedoByName) {
  const auto before = show();
  run({"observe", logbook_, "P-03", "--condition", "failed"});
  const auto after = show();
  EXPECT_EQ(run({"undo", logbook_}).out, "Undone: Record condition, P-03\n");
  EXPECT_EQ(show(), before);
  EXPECT_EQ(run({"redo", logbook_}).out, "Redone: Record condition, P-03\n");
  EXPECT_EQ(show(), after);
  const auto nothing = spile({"redo", logbook_});
  EXPECT_EQ(nothing.status, 1);
  EXPECT_TRUE(is_one_sentence(nothing.err)) << nothing.err;
  EXPECT_THAT(run({"history", logbook_}).out, HasSubstr("Record condition, P-03"));
}

TEST_F(Logbook, ADoubtfulEntryIsRefusedWithWhatIsKnown) {
  const auto before = state_of(logbook_);
  for (const auto& arguments : std::vector<std::vector<std::string>>{
           {"opening", logbook_, "P-04", "--service", "time-machine"},
           {"opening", logbook_, "P-04", "--side", "left"},
           {"opening", logbook_, "P-04", "--height", "low"},
           {"vessel", logbook_, "--type", "submarine"},
           {"observe", logbook_, "P-03", "--condition", "so-so"},
           {"type", logbook_, "P-03", "girth", "3 mm", "--method", "caliper"},
           {"type", logbook_, "P-03", "hole-diameter", "38 m", "--method", "tape"},
           {"survey", logbook_, "last spring"}}) {
    const auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 2) << testing::PrintToString(arguments);
    EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
  }
  for (const auto& arguments :
       std::vector<std::vector<std::string>>{{"observe", logbook_, "P-99", "--condition", "worn"},
                                             {"show", logbook_, "P-99"},
                                             {"show", logbook_, "--survey", "1999-01-01"},
                                             {"withdraw", logbook_, "12345"},
                                             {"file", logbook_, "IMG_1.jpg", "P-03"}}) {
    const auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 1) << testing::PrintToString(arguments);
    EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
  }
  EXPECT_EQ(state_of(logbook_), before);
}

TEST_F(Logbook, PhotosComeInAreMeasuredFiledAndCorrected) {
  fs::create_directories(folder_ / "photos");
  draw(folder_ / "photos/IMG_2.png", {.hole_mm = 38});
  draw(folder_ / "photos/IMG_10.png", {.hole_mm = 0, .card = false, .shade = 0.4});
  const auto ran = run({"import", logbook_, (folder_ / "photos").string(), "--opening", "P-03"});
  EXPECT_LT(ran.out.find("IMG_2.png"), ran.out.find("IMG_10.png"));
  auto opening = show("P-03");
  ASSERT_THAT(opening["photos"], SizeIs(2));
  const auto diameter = [&] {
    std::vector<json> found;
    const auto opening_now = show("P-03");
    for (const auto& m : opening_now["measurements"])
      if (m["quantity"] == "hole-diameter") found.push_back(m);
    return found;
  };
  ASSERT_THAT(diameter(), SizeIs(1));
  EXPECT_NEAR(diameter()[0]["value"].get<double>(), 38, 0.38);  // as drawn
  EXPECT_EQ(diameter()[0]["method"], "photo-auto");
  // 500 px between the two points are 50 mm as drawn; told 55 mm, the hole is a tenth larger.
  run({"remeasure", logbook_, "IMG_2.png", "--reference", "points:1000,200,1500,200,55", "--at",
       "1279.5,499.5"});
  ASSERT_THAT(diameter(), SizeIs(1));
  EXPECT_EQ(diameter()[0]["method"], "photo-by-hand");
  EXPECT_NEAR(diameter()[0]["value"].get<double>(), 38 * 1.1, 0.6);
  run({"opening", logbook_, "S-01", "--side", "starboard"});
  run({"file", logbook_, "IMG_2.png", "S-01"});
  EXPECT_THAT(diameter(), IsEmpty());
  EXPECT_FALSE(show("S-01")["measurements"].empty());
  run({"file", logbook_, "IMG_2.png", "--unfile"});
  EXPECT_THAT(show()["unfiled_photos"], SizeIs(1));
  run({"file", logbook_, "IMG_10.png", "--remove"});
  EXPECT_THAT(show("P-03")["photos"], IsEmpty());
  run({"verify", logbook_});
}

TEST_F(Logbook, ImportedIntoASurveyOfItsOwn) {
  run({"import", logbook_, draw(folder_ / "a.png").string(), "--survey", "2099-10-03", "--no-measure"});
  const auto surveys = show()["surveys"];
  ASSERT_THAT(surveys, SizeIs(2));
  EXPECT_EQ(surveys[1]["date"], "2099-10-03");
  EXPECT_THAT(show()["unfiled_photos"], SizeIs(1));
}

TEST_F(Logbook, VerdictsComeWithReasonsAndSources) {
  const auto verdict = json::parse(run({"verdict", logbook_, "P-03", "--json"}).out);
  EXPECT_EQ(verdict["tag"], "P-03");
  ASSERT_FALSE(verdict["verdicts"].empty());
  const auto& zone = verdict["verdicts"][0];
  EXPECT_EQ(zone["rule"], "zone");
  EXPECT_EQ(zone["answer"], "below-waterline");
  for (const auto& v : verdict["verdicts"]) {
    EXPECT_FALSE(v["headline"].get<std::string>().empty());
    EXPECT_FALSE(v["sources"].empty()) << v["rule"];
  }
  const auto all = run({"verdict", logbook_, "--json"}).out;
  EXPECT_EQ(std::count(all.begin(), all.end(), '\n'), 1) << "one opening a line";
  const auto text = run({"verdict", logbook_, "P-03"}).out;
  EXPECT_THAT(text, HasSubstr("Zone: "));
  EXPECT_THAT(text, HasSubstr("Caution: "));
}

// One JSON object a line and opening, as scripts are promised it.
TEST_F(Logbook, VerdictsAsJsonLines) {
  run({"opening", logbook_, "S-01", "--service", "cockpit-drain"});
  run({"type", logbook_, "P-03", "laminate-thickness", "18.6 mm", "--method", "steel-rule"});
  std::istringstream lines(run({"verdict", logbook_, "--json"}).out);
  std::string line;
  std::vector<json> openings;
  while (std::getline(lines, line)) openings.push_back(json::parse(line));
  ASSERT_THAT(openings, SizeIs(2));
  EXPECT_EQ(openings[0]["tag"], "P-03");
  for (const auto& v : openings[0]["verdicts"]) {
    EXPECT_TRUE(v["because"].is_array()) << v["rule"];
    EXPECT_TRUE(v["source"].is_string() && !v["source"].get<std::string>().empty()) << v["rule"];
    EXPECT_TRUE(v["inputs"].is_object() && !v["inputs"].empty()) << v["rule"];
    const auto state = v["state"].get<std::string>();
    EXPECT_EQ(v["settle_by"].is_null(), state != "too-close-to-tell" && state != "not-known-yet")
        << v["rule"];
  }
  const auto& reinforcement = openings[0]["verdicts"][1];
  EXPECT_EQ(reinforcement["state"], "not-known-yet") << "solid or sandwich, nobody has said";
}

TEST_F(Logbook, AnEditTellsWhichVerdictsItChanged) {
  run({"vessel", logbook_, "--construction", "single-skin"});
  const auto ran = run({"type", logbook_, "P-03", "laminate-thickness", "18.6 mm", "--method", "steel-rule"});
  EXPECT_THAT(ran.err, HasSubstr("P-03, Reinforcement: too close to tell, was not known yet."));
}

TEST_F(Logbook, TheWholeRecordCanBeTyped) {
  run({"opening",     logbook_,           "P-03",       "--hull-radius",   "1.4 m",    "--frame",
       "220 mm",      "--clear-depth",    "310 mm",     "--clear-width",   "120 mm",   "--reach",
       "readily",     "--reach-time",     "20",         "--thread",        "npsm-1",   "--valve-thread",
       "npsm-1",      "--valve-material", "tin-bronze", "--tail-material", "brass",    "--bedding",
       "polysulfide", "--shank",          "33.4 mm",    "--thread-length", "80 mm",    "--nut",
       "12 mm",       "--stack",          "95 mm",      "--tail",          "50 mm",    "--hose-bore",
       "1 in",        "--hose-bend",      "100 mm",     "--next-size",     "1-1/4 in", "--next-material",
       "tin-bronze",  "--next-shank",     "42.2 mm",    "--next-flange",   "74 mm",    "--next-thread-length",
       "90 mm"});
  run({"observe", logbook_, "P-03", "--findings", "pink-metal, weeping", "--clips", "1", "--plug", "none",
       "--bonding", "0.4"});
  const auto p03 = show("P-03");
  EXPECT_EQ(p03["hull_radius_mm"], 1400);
  EXPECT_EQ(p03["reach"], "readily");
  EXPECT_EQ(p03["fitting"]["bedding"], "polysulfide");
  EXPECT_EQ(p03["fitting"]["hose_bore_mm"], 25.4);
  EXPECT_EQ(p03["fitting"]["next"]["shank_mm"], 42.2);
  EXPECT_EQ(p03["observation"]["findings"], json({"pink-metal", "weeping"}));
  EXPECT_EQ(p03["observation"]["clips"], 1);
  run({"observe", logbook_, "P-03", "--findings", "unknown"});
  EXPECT_THAT(show("P-03")["observation"]["findings"], IsEmpty());
  EXPECT_EQ(spile({"observe", logbook_, "P-03", "--findings", "gremlins"}).status, 2);
  EXPECT_EQ(spile({"observe", logbook_, "P-03", "--clips", "two"}).status, 2);
}

TEST_F(Logbook, AYardLaysItsOwnRowsOverTheTables) {
  run({"vessel", logbook_, "--construction", "single-skin"});
  run({"type", logbook_, "P-03", "laminate-thickness", "22 mm", "--method", "caliper"});
  const auto rows = folder_ / "thresholds.csv";
  app::test::write_text(
      rows,
      "key,label,value,unit,note,source\n"
      "reinforce.single-skin.min,Solid laminate needs no block from,25.4,mm,,common practice\n");
  EXPECT_THAT(run({"rules", logbook_, "--lay", rows.string()}).err,
              HasSubstr("Reinforcement: act, was watch"));
  EXPECT_EQ(run({"rules", logbook_}).out, "thresholds.csv: reinforce.single-skin.min\n");
  EXPECT_THAT(run({"verdict", logbook_, "P-03"}).out, HasSubstr("the yard's own: common practice"));
  app::test::write_text(rows,
                        "key,label,value,unit,note,source\nheel.power,Heel,steep,deg,,common practice\n");
  const auto bad = spile({"rules", logbook_, "--lay", rows.string()});
  EXPECT_EQ(bad.status, 2);
  EXPECT_THAT(bad.err, HasSubstr("thresholds.csv, row 2, column value"));
  run({"undo", logbook_});
  EXPECT_THAT(run({"rules", logbook_}).out, IsEmpty());
  EXPECT_THAT(run({"verdict", logbook_, "P-03"}).out, Not(HasSubstr("the yard's own")));
}

TEST(Rules, ArePrintedWithTheirSources) {
  EXPECT_THAT(spile({"rules"}).out, HasSubstr("| Reinforcement | "));
  EXPECT_THAT(spile({"rules", "--table", "findings.csv"}).out, HasSubstr("pink-metal"));
  EXPECT_EQ(spile({"rules", "--table", "nothing.csv"}).status, 1);
}

TEST_F(Logbook, OpeningsCanBeRenamedAndRemoved) {
  run({"opening", logbook_, "P-03", "--rename", "P-3A"});
  EXPECT_EQ(spile({"show", logbook_, "P-03"}).status, 1);
  run({"opening", logbook_, "P-3A", "--remove"});
  EXPECT_THAT(show()["openings"], IsEmpty());
  run({"undo", logbook_});
  EXPECT_EQ(show("P-3A")["fitting"]["material"], "tin-bronze");
}

TEST_F(Logbook, WhatChangesNothingIsNoEdit) {
  const auto before = run({"history", logbook_}).out;
  EXPECT_THAT(run({"vessel", logbook_, "--name", "Marsh Heron"}).err, HasSubstr("Nothing to change"));
  EXPECT_EQ(run({"history", logbook_}).out, before);
}

TEST(Help, EveryCommandExplainsItselfWithAnExample) {
  const auto all = spile({"--help"});
  EXPECT_EQ(all.status, 0);
  EXPECT_THAT(all.err, IsEmpty());
  for (const auto* command : {"new",    "demo",   "import",  "measure", "remeasure", "show",     "verdict",
                              "vessel", "survey", "opening", "observe", "type",      "withdraw", "file",
                              "undo",   "redo",   "history", "card",    "rules",     "verify"}) {
    EXPECT_THAT(all.out, HasSubstr(std::string("  ") + command + " ")) << command;
    const auto help = spile({command, "--help"});
    EXPECT_EQ(help.status, 0) << command;
    EXPECT_THAT(help.out, HasSubstr(std::string("spile ") + command)) << command;
    EXPECT_THAT(help.out, HasSubstr("Example:")) << command;
  }
  EXPECT_EQ(spile({"--version"}).out, "spile " SPILE_VERSION "\n");
}

TEST(Demo, IsAWholeLogbookToTryThingsOn) {
  const app::test::TempFolder folder;
  const auto demo = spile({"demo", (folder / "try-me").string()});
  ASSERT_EQ(demo.status, 0) << demo.err;
  const auto logbook = (folder / "try-me.spile").string();
  EXPECT_EQ(demo.out, logbook + "\n");
  const auto shown = json::parse(spile({"show", logbook, "--json"}).out);
  EXPECT_GE(shown["openings"].size(), 14U);
  EXPECT_GE(shown["surveys"].size(), 2U);
  int measured = 0;
  for (const auto& opening : shown["openings"])
    for (const auto& m : opening["measurements"]) measured += m["method"] == "photo-auto" ? 1 : 0;
  EXPECT_GT(measured, 0);
  EXPECT_EQ(spile({"verify", logbook}).status, 0);
  const auto again = spile({"demo", logbook});
  EXPECT_EQ(again.status, 1);
  EXPECT_TRUE(is_one_sentence(again.err)) << again.err;
}

TEST(Card, IsOnePageOfPdf) {
  const app::test::TempFolder folder;
  const auto ran = spile({"card", "--output", (folder / "card.pdf").string()});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_TRUE(app::test::read_text(folder / "card.pdf").starts_with("%PDF-"));
  const auto odd = spile({"card", "--output", (folder / "odd.pdf").string(), "--marker", "80 mm"});
  EXPECT_NE(odd.status, 0);
  EXPECT_TRUE(is_one_sentence(odd.err)) << odd.err;
  EXPECT_FALSE(fs::exists(folder / "odd.pdf"));
}

// Outside check: poppler's pdftotext reads what was written.
TEST_F(Logbook, TheReportIsAPdfThatNamesTheVessel) {
  const auto pdf = folder_ / "survey.pdf";
  EXPECT_EQ(run({"report", logbook_, "--output", pdf.string(), "--paper", "letter"}).out,
            pdf.string() + "\n");
  const auto text = folder_ / "survey.txt";
  ASSERT_EQ(std::system(("pdftotext '" + pdf.string() + "' '" + text.string() + "'").c_str()), 0);
  std::ifstream in(text);
  const std::string words{std::istreambuf_iterator<char>(in), {}};
  EXPECT_THAT(words, HasSubstr("Marsh Heron"));
  EXPECT_THAT(words, HasSubstr("P-03"));
}

}  // namespace
}  // namespace spile::cli::test
