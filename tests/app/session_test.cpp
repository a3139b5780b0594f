// The use cases on records as a person goes through them: each one edit with a name that undo shows.
#include "app/session.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/logbook_json.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

using model::Method;
using model::Quantity;
using test::must;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

class SessionTest : public testing::Test {
 protected:
  test::TempFolder folder_;

  Session fresh() { return must(Session::create(folder_ / "heron", test::standing_clock())); }
  Session with_opening() { return test::logbook_with_opening(folder_ / "heron"); }
  std::filesystem::path logbook() const { return folder_ / "heron.spile"; }
};

const OpeningView& view_of(const Session& session, const std::string& tag = "P-03") {
  const auto* view = session.snapshot().find(tag);
  if (view == nullptr) throw std::runtime_error("no opening " + tag);
  return *view;
}

std::vector<double> values(const OpeningView& view, Quantity quantity) {
  std::vector<double> found;
  for (const auto& m : view.measurements)
    if (m.quantity == quantity) found.push_back(m.value);
  return found;
}

TEST_F(SessionTest, ANewLogbookHoldsNothingYet) {
  const auto session = fresh();
  const auto& snapshot = session.snapshot();
  EXPECT_EQ(snapshot.folder.filename(), "heron.spile");
  EXPECT_FALSE(snapshot.read_only);
  EXPECT_FALSE(snapshot.vessel);
  EXPECT_FALSE(snapshot.survey);
  EXPECT_THAT(snapshot.openings, IsEmpty());
  EXPECT_FALSE(snapshot.undo_name);
}

TEST_F(SessionTest, ASecondLogbookOfThatNameIsRefused) {
  const auto session = fresh();
  EXPECT_EQ(Session::create(folder_ / "heron.spile").error().code, ErrorCode::AlreadyExists);
}

TEST_F(SessionTest, SavingTheFirstOpeningBeginsASurveyDatedToday) {
  auto session = fresh();
  model::Opening opening;
  opening.tag = "  P-03 ";
  static_cast<void>(must(session.save_opening(opening)));
  ASSERT_THAT(session.snapshot().surveys, SizeIs(1));
  EXPECT_EQ(session.snapshot().surveys[0].date, "2026-04-12");
  EXPECT_EQ(session.snapshot().undo_name, "Add opening P-03");
  EXPECT_NE(session.snapshot().find("P-03"), nullptr);
  must(session.undo());  // one edit: the survey goes with it
  EXPECT_THAT(session.snapshot().surveys, IsEmpty());
  EXPECT_THAT(session.snapshot().openings, IsEmpty());
}

TEST_F(SessionTest, OpeningsStandInNaturalOrderOfTheirTags) {
  auto session = fresh();
  for (const auto* tag : {"S-10", "P-2", "S-9", "P-10"}) {
    model::Opening opening;
    opening.tag = tag;
    static_cast<void>(must(session.save_opening(opening)));
  }
  std::vector<std::string> tags;
  for (const auto& view : session.snapshot().openings) tags.push_back(view.opening.tag);
  EXPECT_THAT(tags, ElementsAre("P-2", "P-10", "S-9", "S-10"));
}

TEST_F(SessionTest, AnEditIsNamedAfterTheOneThingThatChanged) {
  auto session = with_opening();
  auto opening = view_of(session).opening;
  opening.height_mm = -200;
  static_cast<void>(must(session.save_opening(opening)));
  EXPECT_EQ(session.snapshot().undo_name, "Record height, P-03");
  model::Observation seen;
  seen.opening = opening.id;
  seen.condition = model::Condition::Worn;
  must(session.save_observation(seen));
  EXPECT_EQ(session.snapshot().undo_name, "Record condition, P-03");
  seen = *view_of(session).observation;
  seen.valve = model::ValveState::Stiff;
  seen.notes = "weeps when worked";
  must(session.save_observation(seen));
  EXPECT_EQ(session.snapshot().undo_name, "Record observation, P-03");
}

TEST_F(SessionTest, ObservingTwiceInOneSurveyIsOneObservation) {
  auto session = with_opening();
  model::Observation seen;
  seen.opening = test::id_of(session);
  seen.condition = model::Condition::Worn;
  must(session.save_observation(seen));
  seen.condition = model::Condition::Poor;  // still without id
  must(session.save_observation(seen));
  EXPECT_EQ(view_of(session).observation->condition, model::Condition::Poor);
}

TEST_F(SessionTest, AnObservationBelongsToItsSurvey) {
  auto session = with_opening();
  const auto first = *session.snapshot().survey;
  model::Observation seen;
  seen.opening = test::id_of(session);
  seen.condition = model::Condition::Worn;
  must(session.save_observation(seen));
  model::Survey autumn;
  autumn.date = "2026-10-03";
  const auto later = must(session.save_survey(autumn));
  EXPECT_EQ(session.snapshot().survey, later);  // the newest is current
  EXPECT_FALSE(view_of(session).observation);
  must(session.choose_survey(first));
  EXPECT_EQ(view_of(session).observation->condition, model::Condition::Worn);
  EXPECT_EQ(session.choose_survey(model::SurveyId{99}).error().code, ErrorCode::NotFound);
}

TEST_F(SessionTest, ATypedValueTakesTheInstrumentsIntervalAndShowsItsReading) {
  auto session = with_opening();
  static_cast<void>(must(
      session.type_measurement(test::id_of(session), Quantity::LaminateThickness, "5/8", Method::Caliper)));
  EXPECT_EQ(session.snapshot().undo_name, "Type laminate thickness 15.88 mm (read from \"5/8\"), P-03");
  ASSERT_THAT(view_of(session).measurements, SizeIs(1));
  const auto& m = view_of(session).measurements[0];
  // 5/8 in is 15.875 mm: international yard and pound agreement 1959.
  EXPECT_DOUBLE_EQ(m.value, 15.875);
  EXPECT_DOUBLE_EQ(m.u95, session.tables().instrument("caliper")->u95);
  EXPECT_EQ(m.made_at, test::kNow);
  EXPECT_EQ(m.survey, session.snapshot().survey);
}

TEST_F(SessionTest, TypedAgainItSupersedesAndNothingIsLost) {
  auto session = with_opening();
  const auto opening = test::id_of(session);
  const auto first =
      must(session.type_measurement(opening, Quantity::LaminateThickness, "14.8 mm", Method::Caliper));
  static_cast<void>(
      must(session.type_measurement(opening, Quantity::LaminateThickness, "15 mm", Method::SteelRule)));
  static_cast<void>(
      must(session.type_measurement(opening, Quantity::LaminateThickness, "14.9 mm", Method::Caliper)));
  EXPECT_THAT(values(view_of(session), Quantity::LaminateThickness), ElementsAre(15.0, 14.9));
  EXPECT_EQ(view_of(session).measurements.back().supersedes, first);
  must(session.undo());
  EXPECT_THAT(values(view_of(session), Quantity::LaminateThickness), ElementsAre(14.8, 15.0));
}

TEST_F(SessionTest, OvalityNeedsADiameterForItsInterval) {
  auto session = with_opening();
  const auto opening = test::id_of(session);
  EXPECT_EQ(session.type_measurement(opening, Quantity::HoleOvality, "1.2 %", Method::Caliper).error().code,
            ErrorCode::BadInput);
  static_cast<void>(
      must(session.type_measurement(opening, Quantity::HoleDiameter, "38 mm", Method::Caliper)));
  static_cast<void>(must(session.type_measurement(opening, Quantity::HoleOvality, "1.2 %", Method::Caliper)));
  EXPECT_THAT(values(view_of(session), Quantity::HoleOvality), ElementsAre(1.2));
}

TEST_F(SessionTest, AWithdrawnMeasurementNoLongerStands) {
  auto session = with_opening();
  const auto id =
      must(session.type_measurement(test::id_of(session), Quantity::HoleDiameter, "38 mm", Method::Caliper));
  must(session.withdraw_measurement(id));
  EXPECT_THAT(view_of(session).measurements, IsEmpty());
  EXPECT_THAT(*session.snapshot().undo_name, HasSubstr("Withdraw hole diameter 38.00"));
  EXPECT_EQ(session.withdraw_measurement(id).error().code, ErrorCode::NotFound);
  must(session.undo());
  EXPECT_THAT(view_of(session).measurements, SizeIs(1));
}

TEST_F(SessionTest, WhatMakesNoSenseIsRefusedWithAReasonAndChangesNothing) {
  auto session = with_opening();
  const auto revision = session.snapshot().revision;
  auto opening = view_of(session).opening;
  opening.half_breadth_mm = -5;
  EXPECT_THAT(session.save_opening(opening).error().sentence(), HasSubstr("half breadth cannot be -5 mm"));
  opening = view_of(session).opening;
  opening.service = "time-machine";
  EXPECT_EQ(session.save_opening(opening).error().code, ErrorCode::BadInput);
  model::Opening twin;
  twin.tag = "p-03";
  EXPECT_EQ(session.save_opening(twin).error().code, ErrorCode::AlreadyExists);
  twin.tag = "  ";
  EXPECT_EQ(session.save_opening(twin).error().code, ErrorCode::BadInput);
  model::Vessel vessel;
  vessel.heel_deg = 61;
  EXPECT_EQ(session.save_vessel(vessel).error().code, ErrorCode::BadInput);
  model::Survey survey;
  survey.date = "2026-02-30";
  EXPECT_EQ(session.save_survey(survey).error().code, ErrorCode::BadInput);
  model::Observation seen;
  seen.opening = model::OpeningId{99};
  EXPECT_EQ(session.save_observation(seen).error().code, ErrorCode::NotFound);
  EXPECT_EQ(session.snapshot().revision, revision);
}

TEST_F(SessionTest, RemovingAnOpeningIsUndoneWhole) {
  auto session = with_opening();
  model::Fitting fitting;
  fitting.opening = test::id_of(session);
  fitting.material = "tin-bronze";
  must(session.save_fitting(fitting));
  static_cast<void>(
      must(session.type_measurement(fitting.opening, Quantity::HoleDiameter, "38 mm", Method::Caliper)));
  const auto before = to_json(session.snapshot()).dump();
  must(session.remove_opening(fitting.opening));
  EXPECT_THAT(session.snapshot().openings, IsEmpty());
  must(session.undo());
  EXPECT_EQ(to_json(session.snapshot()).dump(), before);
}

TEST_F(SessionTest, ASecondWriterIsToldWhoHoldsItAndMayRead) {
  auto session = with_opening();
  auto reader = must(Session::open(logbook(), true));
  EXPECT_TRUE(reader.snapshot().read_only);
  EXPECT_NE(reader.snapshot().find("P-03"), nullptr);
  model::Vessel vessel;
  EXPECT_EQ(reader.save_vessel(vessel).error().code, ErrorCode::StorageReadOnly);
}

TEST_F(SessionTest, EveryRevisionIsNew) {
  auto session = with_opening();
  auto last = session.snapshot().revision;
  model::Observation seen;
  seen.opening = test::id_of(session);
  seen.condition = model::Condition::Worn;
  must(session.save_observation(seen));
  EXPECT_GT(session.snapshot().revision, last);
  last = session.snapshot().revision;
  must(session.undo());
  EXPECT_GT(session.snapshot().revision, last);
}

TEST_F(SessionTest, TheVerdictFollowsTheRecord) {
  auto session = with_opening();
  const auto& before = view_of(session);
  ASSERT_FALSE(before.verdicts.empty());
  EXPECT_EQ(before.verdicts[0].rule, "zone");
  EXPECT_EQ(before.verdicts[0].answer, "below-waterline");
  EXPECT_THAT(before.missing, testing::Not(IsEmpty()));
  const auto missing = before.missing.size();
  const auto reinforcement = [&] {
    for (const auto& v : view_of(session).verdicts)
      if (v.rule == "reinforcement") return v.answer;
    return std::string();
  };
  EXPECT_EQ(reinforcement(), "not-known-yet");
  static_cast<void>(must(
      session.type_measurement(test::id_of(session), Quantity::LaminateThickness, "6 mm", Method::Caliper)));
  EXPECT_NE(reinforcement(), "not-known-yet");
  EXPECT_LT(view_of(session).missing.size(), missing);
}

// Create, vessel, opening, fitting, values, observation; all of it undone, all redone, closed, opened again.
// What was found a year later says nothing about what could be known at the earlier survey.
TEST_F(SessionTest, AnEarlierSurveyIsJudgedOnWhatWasKnownThen) {
  auto session = with_opening();
  const auto id = test::id_of(session);
  const auto spring = *session.snapshot().survey;
  static_cast<void>(
      must(session.type_measurement(id, Quantity::LaminateThickness, "24 mm", Method::Estimate)));
  const auto state = [&] {
    std::string all;
    for (const auto& v : view_of(session).verdicts) all += v.rule + "=" + v.answer + " " + v.headline + "\n";
    return all;
  };
  const auto then = state();
  model::Survey later;
  later.date = "2027-04-12";
  must(session.choose_survey(must(session.save_survey(later))));
  static_cast<void>(
      must(session.type_measurement(id, Quantity::LaminateThickness, "26 mm", Method::Caliper)));
  EXPECT_THAT(values(view_of(session), Quantity::LaminateThickness), ElementsAre(24, 26));
  EXPECT_NE(state(), then);
  must(session.choose_survey(spring));
  EXPECT_THAT(values(view_of(session), Quantity::LaminateThickness), ElementsAre(24));
  EXPECT_EQ(state(), then);
}

TEST_F(SessionTest, EverythingCanBeUndoneRedoneAndFoundAgain) {
  std::vector<std::string> states;
  {
    auto session = fresh();
    const auto state = [&] { return to_json(session.snapshot()).dump(); };
    states.push_back(state());
    const auto step = [&](const auto& result) {
      ASSERT_TRUE(result) << result.error().sentence();
      states.push_back(state());
    };
    model::Vessel vessel;
    vessel.name = "Marsh Heron";
    vessel.length_mm = 9800;
    step(session.save_vessel(vessel));
    model::Opening opening;
    opening.tag = "P-03";
    opening.height_mm = -180;
    step(session.save_opening(opening));
    const auto id = test::id_of(session);
    model::Fitting fitting;
    fitting.opening = id;
    fitting.material = "tin-bronze";
    step(session.save_fitting(fitting));
    step(session.type_measurement(id, Quantity::HoleDiameter, "38.2 mm", Method::Caliper));
    step(session.type_measurement(id, Quantity::HoleDiameter, "38.1 mm", Method::Caliper));
    model::Observation seen;
    seen.opening = id;
    seen.condition = model::Condition::Worn;
    step(session.save_observation(seen));
    for (std::size_t i = states.size() - 1; i-- > 0;) {
      must(session.undo());
      EXPECT_EQ(state(), states[i]) << "after undo to step " << i;
    }
    EXPECT_FALSE(session.snapshot().undo_name);
    for (std::size_t i = 1; i < states.size(); ++i) {
      must(session.redo());
      EXPECT_EQ(state(), states[i]) << "after redo to step " << i;
    }
    EXPECT_FALSE(session.snapshot().redo_name);
  }
  const auto again = must(Session::open(logbook()));
  EXPECT_EQ(to_json(again.snapshot()).dump(), states.back());
  EXPECT_THAT(again.snapshot().undo_name, Optional(std::string("Record condition, P-03")));
  EXPECT_THAT(must(again.history()), SizeIs(states.size() - 1));
}

TEST_F(SessionTest, WhatIsNoLogbookIsNotOpened) {
  EXPECT_EQ(Session::open(folder_ / "missing").error().code, ErrorCode::FileMissing);
  std::filesystem::create_directories(folder_ / "photos");
  EXPECT_EQ(Session::open(folder_ / "photos").error().code, ErrorCode::NotALogbook);
}

TEST_F(SessionTest, TheSuffixMayBeLeftOut) {
  { const auto session = with_opening(); }
  EXPECT_EQ(must(Session::open(folder_ / "heron")).snapshot().folder.filename(), "heron.spile");
}

}  // namespace
}  // namespace spile::app
