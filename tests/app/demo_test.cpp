// The demo logbook tells its cases, its pictures are measured to their truth, and its report is whole.
#include "app/demo.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "app/report.hpp"
#include "app/session.hpp"
#include "app/trends.hpp"
#include "db/store.hpp"
#include "scenes/recipe.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

class Watcher : public Progress {
 public:
  explicit Watcher(int stop_at = 1000) : stop_at_(stop_at) {}
  void at(const std::string&, int done, int total) override {
    reached = done;
    of = total;
  }
  [[nodiscard]] bool cancelled() const override { return reached >= stop_at_; }
  int reached = -1, of = 0;

 private:
  int stop_at_;
};

// Built once: it measures thirteen pictures.
class Demo : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new test::TempFolder;
    Watcher watcher;
    const auto made = make_demo(folder_->path() / "wrenfold", &watcher);
    ASSERT_TRUE(made) << made.error().sentence() << " " << made.error().detail;
    EXPECT_EQ(watcher.of, 13);
    auto opened = Session::open(folder_->path() / "wrenfold.spile");
    ASSERT_TRUE(opened) << opened.error().sentence();
    session_ = new Session(std::move(*opened));
  }
  static void TearDownTestSuite() {
    delete session_;
    delete folder_;
  }
  static const OpeningView& opening(const std::string& tag) {
    const OpeningView* view = session_->snapshot().find(tag);
    if (!view) throw std::runtime_error("no opening " + tag);
    return *view;
  }
  static const rules::Verdict& verdict(const std::string& tag, const std::string& rule) {
    for (const auto& v : opening(tag).verdicts)
      if (v.rule == rule) return v;
    throw std::runtime_error("no verdict " + rule + " for " + tag);
  }
  static test::TempFolder* folder_;
  static Session* session_;
};
test::TempFolder* Demo::folder_ = nullptr;
Session* Demo::session_ = nullptr;

TEST_F(Demo, HasOneVesselSixSeasonsAndSixteenOpenings) {
  const Snapshot& snapshot = session_->snapshot();
  EXPECT_EQ(snapshot.vessel->name, "Wrenfold");
  ASSERT_EQ(snapshot.surveys.size(), 6U);
  EXPECT_EQ(snapshot.surveys.back().title, "Spring 2026");
  EXPECT_EQ(snapshot.survey, snapshot.surveys.back().id);
  EXPECT_EQ(snapshot.openings.size(), 16U);
  EXPECT_EQ(snapshot.unfiled.size(), 1U);
}

TEST_F(Demo, TellsItsCases) {
  EXPECT_EQ(verdict("S-02", "reinforcement").standing, rules::Standing::TooCloseToTell);
  EXPECT_EQ(verdict("P-01", "material").standing, rules::Standing::Act);
  EXPECT_EQ(verdict("P-02", "shut-off").standing, rules::Standing::Act);
  EXPECT_EQ(verdict("S-05", "reinforcement").standing, rules::Standing::Act);
  EXPECT_EQ(opening("S-01").standing, rules::Standing::Good);
  EXPECT_FALSE(opening("S-03").observation.has_value());
  EXPECT_EQ(opening("P-06").observation->seen, model::Seen::ToBeConfirmed);
  EXPECT_TRUE(opening("P-06").measurements.empty());
  ASSERT_EQ(opening("C-01").photos.size(), 1U);
  EXPECT_THAT(opening("C-01").photos[0].use.finding, HasSubstr("not measured"));
}

// What demo.json says of the crack in P-04's flange and of P-02's condition, year by year.
TEST_F(Demo, TellsWhatChanged) {
  const auto crack = trends_of(session_->snapshot(), opening("P-04"), session_->tables());
  const auto grown = std::find_if(crack.quantities.begin(), crack.quantities.end(), [](const auto& q) {
    return q.trend.quantity == model::Quantity::CrackLength;
  });
  ASSERT_NE(grown, crack.quantities.end());
  EXPECT_EQ(grown->trend.change, trends::Change::Changed);
  EXPECT_NEAR(grown->trend.rate->per_year, 6.7, 0.5);
  const auto valve = trends_of(session_->snapshot(), opening("P-02"), session_->tables());
  ASSERT_EQ(valve.grades.size(), 2U);
  EXPECT_EQ(valve.grades[0].trend.change, trends::Change::Changed);
}

std::vector<scenes::Recipe> recipes() {
  std::ifstream in(SPILE_SOURCE_DIR "/tests/scenes/demo_pictures.json", std::ios::binary);
  auto read = scenes::read_recipes({std::istreambuf_iterator<char>(in), {}});
  return read ? *read : std::vector<scenes::Recipe>();
}

TEST_F(Demo, MeasuresItsHolesToTheirTruth) {
  // The drawn truth of each picture; at three expanded uncertainties a wrong rim shows, chance does not.
  int checked = 0;
  for (const auto& recipe : recipes()) {
    for (const auto& view : session_->snapshot().openings)
      for (const auto& photo : view.photos)
        for (const auto& m : view.measurements) {
          if (photo.photo.original_name != recipe.file || m.photo != photo.photo.id) continue;
          if (m.quantity != model::Quantity::HoleDiameter || recipe.scene.holes.empty()) continue;
          EXPECT_NEAR(m.value, recipe.scene.holes[0].diameter_mm, 3 * m.u95) << recipe.file;
          ++checked;
        }
  }
  EXPECT_GE(checked, 6);
}

TEST_F(Demo, SeesTheSandwichAtItsEdge) {
  std::vector<std::string> layers;
  for (const auto& m : opening("S-05").measurements)
    if (m.quantity == model::Quantity::LayerThickness) layers.push_back(m.label);
  EXPECT_THAT(layers, ::testing::Contains("core"));
}

TEST_F(Demo, PicturesAreThoseOfTheRecipes) {
  for (const auto& recipe : recipes()) {
    std::ifstream in(std::string(SPILE_SOURCE_DIR "/assets/demo/") + recipe.file, std::ios::binary);
    const std::vector<std::uint8_t> bytes{std::istreambuf_iterator<char>(in), {}};
    EXPECT_LE(bytes.size(), 150U * 1024) << recipe.file;
    EXPECT_EQ(bytes, scenes::take(recipe.scene, recipe.camera).jpeg)
        << recipe.file << ": run assets/demo/remake.sh";
  }
}

TEST_F(Demo, IsAWholeLogbook) {
  const auto store = db::Store::open(session_->snapshot().folder, db::Access::ReadOnly);
  ASSERT_TRUE(store) << store.error().sentence();
  const auto verified = store->verify();
  ASSERT_TRUE(verified);
  EXPECT_THAT(verified->faults, ::testing::IsEmpty());
  EXPECT_EQ(verified->photos, 13);
}

TEST_F(Demo, ReportsItself) {
  const fs::path file = folder_->path() / "report.pdf";
  const auto written = write_report(*session_, file, report::Paper::A4);
  ASSERT_TRUE(written) << written.error().sentence();
  std::string text;
  std::FILE* pipe = ::popen(("pdftotext -raw '" + file.string() + "' -").c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  char buffer[4096];
  while (const std::size_t n = std::fread(buffer, 1, sizeof buffer, pipe)) text.append(buffer, n);
  ::pclose(pipe);
  for (const char* words :
       {"Wrenfold", "Spring 2026, 11 April 2026", "To be done before she is launched", "Not looked at: S-03",
        "18.60 ± 0.50 mm", "Toilet discharge", "A real change", "Nothing of known size was found"})
    EXPECT_THAT(text, HasSubstr(words)) << words;
}

TEST(MakeDemo, LeavesNothingBehindWhenCancelled) {
  const test::TempFolder folder;
  Watcher stopper(0);
  const auto made = make_demo(folder.path() / "demo", &stopper);
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, ErrorCode::Cancelled);
  EXPECT_TRUE(fs::is_empty(folder.path()));
}

TEST(MakeDemo, KeepsItsHandsOffWhatIsThere) {
  const test::TempFolder folder;
  fs::create_directory(folder.path() / "demo.spile");
  std::ofstream(folder.path() / "demo.spile" / "mine.txt") << "mine";
  const auto made = make_demo(folder.path() / "demo", nullptr);
  ASSERT_FALSE(made);
  EXPECT_EQ(made.error().code, ErrorCode::AlreadyExists);
  EXPECT_TRUE(fs::exists(folder.path() / "demo.spile" / "mine.txt"));
}

}  // namespace
}  // namespace spile::app
