// From one season to the next: a survey begun from the last one, the walk round, what changed, what is due.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "app/checklist.hpp"
#include "app/due.hpp"
#include "app/trends.hpp"
#include "db/store.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

using model::Quantity;
using model::Seen;
using test::must;
using testing::ElementsAre;
using testing::HasSubstr;

class SeasonsTest : public testing::Test {
 protected:
  SeasonsTest() : session_(test::logbook_with_opening(folder_ / "heron")) {}

  model::OpeningId add(const std::string& tag, model::Side side, std::optional<double> from_bow) {
    model::Opening opening;
    opening.tag = tag;
    opening.side = side;
    opening.from_bow_mm = from_bow;
    opening.service = "cockpit-drain";
    return must(session_.save_opening(opening));
  }
  model::SurveyId survey(const std::string& date) {
    model::Survey s;
    s.date = date;
    const auto id = must(session_.save_survey(s));
    must(session_.choose_survey(id));
    return id;
  }
  void put_down(const std::string& tag, model::Condition condition,
                model::ValveState valve = model::ValveState::Unknown, Seen seen = Seen::Looked) {
    model::Observation o = session_.snapshot().find(tag)->observation.value_or(model::Observation{});
    o.opening = test::id_of(session_, tag);
    o.seen = seen;
    o.condition = condition;
    o.valve = valve;
    must(session_.save_observation(o));
  }
  void type(const std::string& tag, Quantity quantity, const std::string& typed, double u95) {
    must(session_.type_measurement(test::id_of(session_, tag), quantity, typed, model::Method::Caliper, u95));
  }
  Result<model::SurveyId> from_last(const std::string& date) {
    model::Survey next;
    next.date = date;
    return session_.begin_from_last(next);
  }
  const OpeningView& view(const std::string& tag) { return *session_.snapshot().find(tag); }
  std::vector<DueItem> due(const char* on) {
    return due_items(session_.snapshot(), session_.tables(), units::parse_date(on).value());
  }
  std::string tags(Seen seen) { return tags_of(checklist_of(session_.snapshot(), session_.tables()), seen); }

  test::TempFolder folder_;
  Session session_;
};

TEST_F(SeasonsTest, EverythingIsCarriedOverAndNothingCountsAsSeen) {
  put_down("P-03", model::Condition::Worn, model::ValveState::Stiff);
  add("S-01", model::Side::Starboard, 3000);
  must(from_last("2027-04-10"));
  EXPECT_EQ(session_.snapshot().surveys.back().id, session_.snapshot().survey);
  const auto& carried = view("P-03").observation.value();
  EXPECT_EQ(carried.seen, Seen::ToBeConfirmed);
  EXPECT_EQ(carried.condition, model::Condition::Worn);
  EXPECT_EQ(carried.valve, model::ValveState::Stiff);
  EXPECT_FALSE(view("S-01").observation) << "nobody ever looked at it";
  const auto& verdicts = view("P-03").verdicts;
  const auto condition =
      std::find_if(verdicts.begin(), verdicts.end(), [](const auto& v) { return v.rule == "condition"; });
  ASSERT_NE(condition, verdicts.end());
  EXPECT_THAT(condition->headline, HasSubstr("not confirmed"));
}

TEST_F(SeasonsTest, BeginningFromTheLastOneIsOneStepOfUndo) {
  put_down("P-03", model::Condition::Worn);
  const auto surveys = session_.snapshot().surveys.size();
  must(from_last("2027-04-10"));
  must(session_.undo());
  EXPECT_EQ(session_.snapshot().surveys.size(), surveys);
  EXPECT_EQ(view("P-03").observation.value().seen, Seen::Looked);
  must(session_.redo());
  EXPECT_EQ(view("P-03").observation.value().seen, Seen::ToBeConfirmed);
}

// An opening passed over last time is carried over from the time before.
TEST_F(SeasonsTest, WhatWasPassedOverComesFromTheTimeBefore) {
  put_down("P-03", model::Condition::Poor);
  survey("2027-04-10");
  must(from_last("2028-04-10"));
  EXPECT_EQ(view("P-03").observation.value().condition, model::Condition::Poor);
}

TEST_F(SeasonsTest, TheNextOneComesLater) {
  const auto last = session_.snapshot().surveys.back().date;
  EXPECT_EQ(from_last(last).error().code, ErrorCode::BadInput);
  EXPECT_EQ(from_last("2027-02-30").error().code, ErrorCode::BadInput);
  auto empty = must(Session::create(folder_ / "empty", test::standing_clock()));
  EXPECT_EQ(empty.begin_from_last({{}, "2027-04-10", "", "", {}, ""}).error().code, ErrorCode::NotFound);
}

TEST_F(SeasonsTest, ConfirmingIsAStepWithAName) {
  put_down("P-03", model::Condition::Sound);
  must(from_last("2027-04-10"));
  EXPECT_EQ(tags(Seen::ToBeConfirmed), "P-03");
  must(session_.confirm(test::id_of(session_)));
  EXPECT_EQ(view("P-03").observation.value().seen, Seen::Looked);
  EXPECT_EQ(session_.snapshot().undo_name, "Confirm what was put down, P-03");
  const auto list = checklist_of(session_.snapshot(), session_.tables());
  EXPECT_EQ(progress_words(list), "1 of 1 looked at");
}

TEST_F(SeasonsTest, TheWalkGoesDownStarboardAndBackAndDownPort) {
  must(session_.remove_opening(test::id_of(session_)));
  add("P-2", model::Side::Port, 8000);
  add("P-1", model::Side::Port, 2000);
  add("S-2", model::Side::Starboard, 8000);
  add("S-9", model::Side::Starboard, std::nullopt);
  add("S-1", model::Side::Starboard, 2000);
  add("C-1", model::Side::Centreline, 2000);
  add("C-2", model::Side::Centreline, 8000);
  std::vector<std::string> walk;
  for (const auto& item : checklist_of(session_.snapshot(), session_.tables()).items)
    walk.push_back(item.tag);
  EXPECT_THAT(walk, ElementsAre("S-1", "S-2", "S-9", "C-2", "C-1", "P-1", "P-2"));
}

TEST_F(SeasonsTest, AValueThatGrowsIsAChangeWithALimitsDate) {
  for (const auto& [date, crack] :
       {std::pair{"2027-04-10", "10 mm"}, {"2028-04-10", "14 mm"}, {"2029-04-10", "18 mm"}}) {
    survey(date);
    type("P-03", Quantity::CrackLength, crack, 1);
  }
  const auto found = trends_of(session_.snapshot(), view("P-03"), session_.tables(),
                               {{Quantity::CrackLength, {30, trends::Bad::Above, "asked", "asked"}}});
  ASSERT_EQ(found.quantities.size(), 1U);
  const auto& q = found.quantities[0];
  EXPECT_EQ(q.trend.change, trends::Change::Changed);
  EXPECT_NEAR(q.trend.rate->per_year, 4, 0.02);
  EXPECT_THAT(verdict_words(q.trend), HasSubstr("mm a year"));
  ASSERT_EQ(q.reached->reach, trends::Reach::Expected) << q.reached->why;
  EXPECT_NEAR(units::days_between(units::parse_date("2032-04-10").value(), q.reached->date), 0, 3);
  const auto json = trends_json(view("P-03"), found);
  EXPECT_EQ(json["quantities"][0]["verdict"], "changed");
  EXPECT_EQ(json["quantities"][0]["limit"]["reach"], "expected");
}

// A later survey is not known yet when an earlier one is open.
TEST_F(SeasonsTest, TrendsKnowOnlyWhatWasKnownAtTheTime) {
  type("P-03", Quantity::CrackLength, "10 mm", 1);
  const auto first = *session_.snapshot().survey;
  survey("2028-04-10");
  type("P-03", Quantity::CrackLength, "20 mm", 1);
  put_down("P-03", model::Condition::Poor);
  must(session_.choose_survey(first));
  const auto found = trends_of(session_.snapshot(), view("P-03"), session_.tables());
  EXPECT_EQ(found.quantities.at(0).trend.change, trends::Change::TooFew);
  EXPECT_TRUE(found.grades.empty());
}

TEST_F(SeasonsTest, WhatIsOnlyCarriedOverIsNoGrade) {
  for (int year = 2027; year < 2033; ++year) {
    survey(std::to_string(year) + "-04-10");
    put_down("P-03", year < 2030 ? model::Condition::Sound : model::Condition::Poor);
  }
  const auto changed = trends_of(session_.snapshot(), view("P-03"), session_.tables());
  ASSERT_EQ(changed.grades.size(), 1U);
  EXPECT_EQ(changed.grades[0].trend.grades.size(), 6U);
  must(from_last("2033-04-10"));
  EXPECT_EQ(trends_of(session_.snapshot(), view("P-03"), session_.tables()).grades[0].trend.grades.size(),
            6U);
}

TEST_F(SeasonsTest, LimitsComeFromTheTablesAndTheOpeningsOwnRecord) {
  model::Fitting fitting;
  fitting.opening = test::id_of(session_);
  fitting.shank_mm = 38;
  must(session_.save_fitting(fitting));
  model::Opening opening = view("P-03").opening;
  opening.construction = model::HullConstruction::SingleSkin;
  must(session_.save_opening(opening));
  auto limits = limits_of(session_.snapshot(), view("P-03"), session_.tables());
  EXPECT_DOUBLE_EQ(limits.at(Quantity::HoleDiameter).value,
                   38 + session_.tables().threshold("size.clearance.most").value);
  EXPECT_EQ(limits.at(Quantity::LaminateThickness).bad, trends::Bad::Below);
  must(session_.lay_table(
      {"trend_limits.csv",
       "key,label,bad,limit,note,source\ncrack-length,Crack,above,25,,common practice\n"}));
  limits = limits_of(session_.snapshot(), view("P-03"), session_.tables());
  EXPECT_DOUBLE_EQ(limits.at(Quantity::CrackLength).value, 25);
  EXPECT_THAT(limits.at(Quantity::CrackLength).source, HasSubstr("yard's own"));
}

TEST_F(SeasonsTest, DueCountsFromWhenItWasLastDone) {
  must(session_.remove_opening(test::id_of(session_)));
  add("P-01", model::Side::Port, 3000);
  survey("2027-04-10");
  put_down("P-01", model::Condition::Sound, model::ValveState::Works);
  // No height, so it may lie below the waterline: 12 months for the look, 6 for the valve (intervals.csv).
  const auto items = due("2027-11-01");
  ASSERT_EQ(items.size(), 2U);
  EXPECT_EQ(items[0].task.task, rules::Task::WorkValve);
  EXPECT_EQ(items[0].task.state, rules::DueState::Overdue);
  EXPECT_EQ(items[0].when, "overdue since 2027-10-10 (22 days)");
  EXPECT_EQ(items[1].task.state, rules::DueState::Later);
  EXPECT_EQ(due("2028-02-01")[1].task.state, rules::DueState::Coming);
  // What lies after the day asked about has not happened yet.
  EXPECT_EQ(due("2027-04-09")[0].when, "never done");
}

TEST_F(SeasonsTest, WhatIsCarriedOverWasNotDone) {
  put_down("P-03", model::Condition::Sound, model::ValveState::Works);
  const auto before = due("2027-06-01");
  must(from_last("2027-05-01"));
  const auto after = due("2027-06-01");
  ASSERT_EQ(before.size(), after.size());
  for (std::size_t i = 0; i < before.size(); ++i) EXPECT_EQ(before[i].task.last, after[i].task.last);
}

TEST_F(SeasonsTest, TheVesselsSeasonsAreSortedByUrgency) {
  must(session_.remove_opening(test::id_of(session_)));
  add("P-01", model::Side::Port, 3000);
  add("P-02", model::Side::Port, 4000);
  survey("2027-04-10");
  put_down("P-01", model::Condition::Sound);
  put_down("P-02", model::Condition::Failed);
  const auto rows =
      season_rows(session_.snapshot(), session_.tables(), units::parse_date("2027-06-01").value());
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[0].tag, "P-02");
  EXPECT_EQ(rows[0].cells.size(), session_.snapshot().surveys.size());
  EXPECT_EQ(rows[0].cells.back().condition, model::Condition::Failed);
  EXPECT_EQ(rows[0].cells.front().seen, Seen::NotLookedAt);
}

}  // namespace
}  // namespace spile::app
