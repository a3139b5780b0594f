// The seasons in the window: the whole vessel, what is due, the walk round, and an opening's own plots. With
// many seasons only what is in sight is drawn, and a frame stays well below a sixtieth of a second.
#include <gmock/gmock.h>
#include <time.h>

#include <algorithm>

#include "app/session.hpp"
#include "db/store.hpp"
#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

using model::Condition;

class SeasonsTest : public WindowTest {
 protected:
  void open(const std::filesystem::path& logbook) {
    window().desk().apply(OpenLogbook{logbook});
    window().settle();
    ASSERT_TRUE(window().desk().logbook());
  }

  // `surveys` yearly ones up to 2025 and `openings` seen in each; every seventh one is poor.
  std::filesystem::path logbook_of(int surveys, int openings) {
    const auto made = folder() / "many.spile";
    auto store = db::Store::create(made).value();
    const auto done = store.edit("Fill", [&](db::Edit& edit) {
      std::vector<model::SurveyId> seasons;
      for (int s = 0; s < surveys; ++s)
        seasons.push_back(
            edit.save_survey({{}, std::to_string(2026 - surveys + s) + "-04-12", "", "", {}, ""}));
      for (int o = 0; o < openings; ++o) {
        model::Opening opening;
        opening.tag = "P-" + std::to_string(o + 1);
        opening.service = "cockpit-drain";
        opening.from_bow_mm = 100.0 * o;
        const auto id = edit.save_opening(opening);
        for (int s = 0; s < surveys; ++s) {
          model::Observation seen;
          seen.opening = id;
          seen.survey = seasons[static_cast<std::size_t>(s)];
          seen.seen = model::Seen::Looked;
          seen.condition = o % 7 == 3 ? Condition::Poor : s % 5 == 4 ? Condition::Worn : Condition::Sound;
          seen.valve = model::ValveState::Works;
          edit.save_observation(seen);
          model::Measurement crack;
          crack.opening = id;
          crack.survey = seen.survey;
          crack.quantity = model::Quantity::CrackLength;
          crack.value = 10 + s;
          crack.u95 = 0.5;
          crack.instrument = "Caliper";
          edit.add_measurement(crack);
        }
      }
    });
    EXPECT_TRUE(done) << done.error().sentence();
    return made;
  }

  void to_seasons(const char* tab) {
    window().key(Key::F6);
    window().frame(2);
    window().click(std::string("seasons.tab/") + tab);
    window().frame(2);
  }
  std::size_t cells_drawn() {
    std::size_t count = 0;
    const int now = ImGui::GetFrameCount();
    for (const auto& [name, item] : window().registry().items())
      count += name.starts_with("season.P-") && item.frame >= now - 1;
    return count;
  }
};

double cpu_ms() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) * 1e-6;
}

TEST_F(SeasonsTest, CellsSayWhatWasSeenAndLeadThere) {
  open(logbook_of(3, 4));
  to_seasons("seasons");
  EXPECT_TRUE(window().sees("season.P-4.2025-04-12"));
  EXPECT_LT(window().item("season.open.P-4").min.y, window().item("season.open.P-1").min.y)
      << "the poor one first";
  EXPECT_LT(window().item("season.P-4.2025-04-12").min.x, window().item("season.P-4.2023-04-12").min.x)
      << "the newest season first";
  window().click("season.P-2.2024-04-12");
  window().settle();
  EXPECT_EQ(window().state().page, Page::Desk);
  EXPECT_EQ(window().desk().selected()->opening.tag, "P-2");
  EXPECT_EQ(window().logbook().survey, window().logbook().surveys[1].id);
}

TEST_F(SeasonsTest, WhatIsDueLeadsToItsOpening) {
  open(logbook_of(1, 2));  // looked at in April 2025, today is April 2026
  to_seasons("due");
  ASSERT_TRUE(window().sees("due.P-2.work-valve"));
  window().click("due.P-2.work-valve");
  window().settle();
  EXPECT_EQ(window().desk().selected()->opening.tag, "P-2");
}

TEST_F(SeasonsTest, TheWalkRoundConfirmsWhatWasCarriedOver) {
  open(logbook_of(1, 3));
  to_seasons("walk");
  window().click("walk.from_last");
  window().settle();
  EXPECT_EQ(window().logbook().surveys.size(), 2U);
  EXPECT_EQ(window().opening("P-1").observation.value().seen, model::Seen::ToBeConfirmed);
  window().click("walk.confirm.P-1");
  window().settle();
  EXPECT_EQ(window().opening("P-1").observation.value().seen, model::Seen::Looked);
  EXPECT_EQ(window().opening("P-2").observation.value().seen, model::Seen::ToBeConfirmed);
  window().key(Key::Z, true);
  window().settle();
  EXPECT_EQ(window().opening("P-1").observation.value().seen, model::Seen::ToBeConfirmed);
  window().key(Key::Z, true);
  window().settle();
  EXPECT_EQ(window().logbook().surveys.size(), 1U) << "the survey begun is taken back in one step";
}

TEST_F(SeasonsTest, TheRecordConfirmsWhatWasCarriedOver) {
  open(logbook_of(1, 1));
  window().menu("Logbook", "logbook.next_survey");
  window().settle();
  window().click("openings.row.P-1");
  window().click("record.confirm");
  window().settle();
  EXPECT_EQ(window().opening("P-1").observation.value().seen, model::Seen::Looked);
  EXPECT_FALSE(window().sees("record.confirm"));
}

TEST_F(SeasonsTest, AnOpeningShowsItsPlotsAndVerdicts) {
  open(logbook_of(6, 1));
  window().click("openings.row.P-1");
  window().click("beside/trends");
  window().frame(2);
  EXPECT_TRUE(window().sees("trends.plot.crack-length"));
  EXPECT_TRUE(window().sees("trends.verdict.crack-length"));
  EXPECT_TRUE(window().sees("trends.plot.condition"));
}

TEST_F(SeasonsTest, CracksAndStainsAreTypedInTheRecord) {
  make_opening();
  Driver& w = window();
  w.choose("record.type.quantity", "stain-area");
  w.fill("record.type.value", "1.5 cm2");
  w.settle();
  EXPECT_DOUBLE_EQ(measured("P-01", model::Quantity::StainArea).value, 150);
  w.choose("record.type.quantity", "crack-length");
  w.fill("record.type.value", "18 mm");
  w.settle();
  EXPECT_DOUBLE_EQ(measured("P-01", model::Quantity::CrackLength).value, 18);
}

TEST_F(SeasonsTest, TwentySeasonsOfSixtyOpeningsScrollAtFullRate) {
  open(logbook_of(20, 60));
  to_seasons("seasons");
  // At 1280 x 800 some thirty rows of eight columns are in sight; the rest of the 1200 cells is not drawn.
  EXPECT_LT(cells_drawn(), 450U);
  EXPECT_GT(cells_drawn(), 50U);
  std::vector<double> frames;
  const ImVec2 at = {640, window().item("season.open.P-4").min.y + 100};
  for (int i = 0; i < 120; ++i) {
    const int frame = ImGui::GetFrameCount();
    const double before = cpu_ms();
    window().wheel(at, i < 60 ? -1.0F : 1.0F);
    frames.push_back((cpu_ms() - before) / (ImGui::GetFrameCount() - frame));
    if (i == 59) {
      EXPECT_FALSE(window().sees("season.open.P-11")) << "the second row has scrolled away";
    }
  }
  std::nth_element(frames.begin(), frames.begin() + 60, frames.end());
  RecordProperty("median_frame_ms", std::to_string(frames[60]));
  std::printf("season view, 20 seasons x 60 openings: median frame %.2f ms of CPU\n", frames[60]);
  EXPECT_LT(frames[60], 1000.0 / 60) << "ms of CPU a frame, in the median while scrolling";
}

}  // namespace
}  // namespace spile::gui
