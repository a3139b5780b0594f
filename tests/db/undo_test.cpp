// Undo and redo, also over a restart, and over any sequence of edits.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include "db/journal.hpp"
#include "fixture.hpp"

namespace spile::db::test {
namespace {

using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

std::string state_of(const Store& store) {
  const SQLite::Database db((store.folder() / "log.sqlite").string(), SQLite::OPEN_READONLY);
  return undoable_state(db);
}

TEST(Undo, TakesBackAndBringsAgainAndSurvivesARestart) {
  const TempFolder temp;
  model::OpeningId id;
  {
    auto store = ok(Store::create(temp.logbook()));
    ok(store.edit("Add P-01", [&](Edit& edit) { id = edit.save_opening(opening("P-01")); }));
    ok(store.edit("Add P-02", [&](Edit& edit) { edit.save_opening(opening("P-02")); }));
    ok(store.undo());
    EXPECT_THAT(store.undo_name(), Optional(std::string("Add P-01")));
    EXPECT_THAT(store.redo_name(), Optional(std::string("Add P-02")));
  }
  auto store = ok(Store::open(temp.logbook()));
  EXPECT_THAT(store.redo_name(), Optional(std::string("Add P-02")));
  ok(store.redo());
  EXPECT_THAT(ok(store.openings()), SizeIs(2));
  ok(store.undo());
  ok(store.undo());
  EXPECT_THAT(ok(store.openings()), IsEmpty());
  ok(store.redo());
  EXPECT_EQ(ok(store.openings()).at(0).id, id);
  expect_whole(store);
}

TEST(Undo, SaysWhenThereIsNothingLeft) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  EXPECT_EQ(code_of(store.undo()), ErrorCode::NotFound);
  EXPECT_EQ(code_of(store.redo()), ErrorCode::NotFound);
}

TEST(Undo, ANewChangeGivesUpWhatCouldBeRedone) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  ok(store.edit("One", [&](Edit& edit) { edit.save_opening(opening("P-01")); }));
  ok(store.undo());
  ok(store.edit("Two", [&](Edit& edit) { edit.save_opening(opening("P-02")); }));
  EXPECT_FALSE(store.redo_name());
  EXPECT_EQ(code_of(store.redo()), ErrorCode::NotFound);
  ok(store.undo());
  EXPECT_FALSE(store.undo_name());
  EXPECT_THAT(store.redo_name(), Optional(std::string("Two")));
  expect_whole(store);
}

TEST(Undo, AChangeThatChangesNothingIsNotRecorded) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  auto o = opening("P-01");
  ok(store.edit("Add", [&](Edit& edit) { o.id = edit.save_opening(o); }));
  ok(store.undo());
  ok(store.redo());
  ok(store.edit("Same again", [&](Edit& edit) { edit.save_opening(o); }));
  ok(store.edit("Nothing", [](Edit&) {}));
  ok(store.edit("There and back", [&](Edit& edit) {
    auto moved = o;
    moved.height_mm = 5;
    edit.save_opening(moved);
    edit.save_opening(o);
  }));
  EXPECT_THAT(store.undo_name(), Optional(std::string("Add")));
  ok(store.undo());
  ok(store.edit("Nothing", [](Edit&) {}));
  EXPECT_THAT(store.redo_name(), Optional(std::string("Add"))) << "nothing happened, so redo is still there";
}

TEST(Undo, PutsBackTwoTagsThatChangedPlaces) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  auto a = opening("P-01"), b = opening("P-02");
  ok(store.edit("Add", [&](Edit& edit) {
    a.id = edit.save_opening(a);
    b.id = edit.save_opening(b);
  }));
  const auto before = state_of(store);
  ok(store.edit("Swap", [&](Edit& edit) {
    a.tag = "aside";
    edit.save_opening(a);
    b.tag = "P-01";
    edit.save_opening(b);
    a.tag = "P-02";
    edit.save_opening(a);
  }));
  const auto after = state_of(store);
  ok(store.undo());
  EXPECT_EQ(state_of(store), before);
  ok(store.redo());
  EXPECT_EQ(state_of(store), after);
}

TEST(Undo, RefusesWhenAnotherProgramChangedTheRecords) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  ok(store.edit("Add", [&](Edit& edit) { edit.save_opening(opening("P-01")); }));
  {
    SQLite::Database other((temp.logbook() / "log.sqlite").string(), SQLite::OPEN_READWRITE);
    other.exec("UPDATE opening SET notes = 'by another hand'");
  }
  const auto before = state_of(store);
  const auto refused = store.undo();
  EXPECT_EQ(code_of(refused), ErrorCode::Refused);
  expect_clear(refused.error(), "another program");
  EXPECT_EQ(state_of(store), before);
  EXPECT_THAT(ok(store.verify()).faults, Not(IsEmpty()));
}

TEST(Undo, LeavesOriginalsWhereTheyAre) {
  const TempFolder temp;
  auto store = ok(Store::create(temp.logbook()));
  const auto bytes = bytes_of("picture");
  const auto photo = ok(store.keep_photo({bytes, photo_record("a.jpg")}));
  ok(store.edit("Import a.jpg", [&](Edit& edit) {
    edit.save_photo_use({{}, photo.id, edit.save_survey(survey("2026-04-12")), std::nullopt, "", ""});
  }));
  ok(store.undo());
  EXPECT_THAT(ok(store.photos()), SizeIs(1));
  const auto report = ok(store.verify());
  EXPECT_THAT(report.faults, IsEmpty());
  EXPECT_THAT(report.notes, SizeIs(1));
  ok(store.redo());
  EXPECT_THAT(ok(store.verify()).notes, IsEmpty());
}

// ---- any sequence of edits ----

template <class T>
T pick(const std::vector<T>& from) {
  return from.at(*rc::gen::inRange<std::size_t>(0, from.size()));
}

class RandomEdits {
 public:
  explicit RandomEdits(Store& store, std::vector<model::Photo> photos)
      : store_(store), photos_(std::move(photos)) {}

  // May be refused (a tag that is taken, a survey that is needed): then nothing must have changed.
  void one() {
    const auto before = state_of(store_);
    const auto done = store_.edit("Edit", [&](Edit& edit) {
      const int steps = *rc::gen::inRange(1, 4);
      for (int i = 0; i < steps; ++i) step(edit);
    });
    if (!done) RC_ASSERT(state_of(store_) == before);
    if (!done) RC_ASSERT(done.error().code != ErrorCode::Internal);
  }

 private:
  void step(Edit& edit) {
    switch (*rc::gen::inRange(0, 13)) {
      case 0: {
        model::Vessel v;
        v.name = *rc::gen::element<std::string>("A", "B");
        v.heel_deg = *rc::gen::element<std::optional<double>>(std::nullopt, 20.0);
        return edit.save_vessel(v);
      }
      case 1:
      case 2:
        return save_opening(edit);
      case 3:
        if (!openings().empty()) edit.remove_opening(pick(openings()).id);
        return;
      case 4:
        edit.save_survey(survey(*rc::gen::element<std::string>("2025-04-01", "2026-04-01")));
        return;
      case 5:
        if (!surveys().empty()) edit.remove_survey(pick(surveys()).id);
        return;
      case 6:
        return save_fitting(edit);
      case 7:
        return save_observation(edit);
      case 8:
        return add_measurement(edit);
      case 9:
        if (const auto all = ok(store_.all_measurements()); !all.empty())
          edit.withdraw_measurement(pick(all).id);
        return;
      case 10:
      case 11:
        return save_run(edit);
      default:
        return save_use(edit);
    }
  }

  std::vector<model::Opening> openings() { return ok(store_.openings()); }
  std::vector<model::Survey> surveys() { return ok(store_.surveys()); }

  void save_opening(Edit& edit) {
    auto o = opening(*rc::gen::element<std::string>("P-1", "P-2", "P-3", "S-1"));
    o.height_mm = *rc::gen::element<std::optional<double>>(std::nullopt, -40.0, 1.0 / 3.0);
    if (!openings().empty() && *rc::gen::arbitrary<bool>()) o.id = pick(openings()).id;
    edit.save_opening(o);
  }

  void save_run(Edit& edit) {
    if (openings().empty()) return;
    const auto there = ok(store_.runs());
    if (!there.empty() && *rc::gen::inRange(0, 4) == 0) return edit.remove_run(pick(there).id);
    model::Run run;
    run.opening = pick(openings()).id;
    if (!there.empty() && *rc::gen::arbitrary<bool>()) run.id = pick(there).id;
    if (!there.empty() && *rc::gen::arbitrary<bool>()) run.joins = model::RunJoin{pick(there).id, 1};
    run.parts.resize(*rc::gen::inRange<std::size_t>(0, 4));
    for (auto& part : run.parts) part.part = *rc::gen::element<std::string>("hose-38", "tail-g-1-25");
    edit.save_run(run);
  }

  void save_fitting(Edit& edit) {
    if (openings().empty()) return;
    model::Fitting f;
    f.opening = pick(openings()).id;
    f.material = *rc::gen::element<std::string>("", "bronze");
    for (const auto& there : ok(store_.fittings()))
      if (there.opening == f.opening) f.id = there.id;
    if (f.id.stored() && *rc::gen::inRange(0, 4) == 0) return edit.remove_fitting(f.id);
    edit.save_fitting(f);
  }

  void save_observation(Edit& edit) {
    if (openings().empty() || surveys().empty()) return;
    model::Observation o;
    o.opening = pick(openings()).id;
    o.survey = pick(surveys()).id;
    o.condition = *rc::gen::element(model::Condition::Sound, model::Condition::Poor);
    for (const auto& there : ok(store_.observations(o.survey)))
      if (there.opening == o.opening) o.id = there.id;
    edit.save_observation(o);
  }

  void add_measurement(Edit& edit) {
    if (openings().empty() || surveys().empty()) return;
    auto m = diameter(pick(openings()).id, pick(surveys()).id, *rc::gen::inRange(10, 90));
    if (*rc::gen::arbitrary<bool>()) m.photo = pick(photos_).id;
    if (m.photo) m.trace = model::Trace{"card", {{1, 2}}, std::nullopt, "assumed", {}, {}, std::nullopt};
    for (const auto& there : ok(store_.measurements()))
      if (there.opening == m.opening && *rc::gen::arbitrary<bool>()) m.supersedes = there.id;
    edit.add_measurement(m);
  }

  void save_use(Edit& edit) {
    const auto uses = ok(store_.photo_uses());
    if (!uses.empty() && *rc::gen::inRange(0, 3) == 0) return edit.remove_photo_use(pick(uses).id);
    if (surveys().empty()) return;
    model::PhotoUse use{{}, pick(photos_).id, pick(surveys()).id, std::nullopt, "", ""};
    if (!openings().empty() && *rc::gen::arbitrary<bool>()) use.opening = pick(openings()).id;
    if (!uses.empty() && *rc::gen::arbitrary<bool>()) use.id = pick(uses).id;
    edit.save_photo_use(use);
  }

  Store& store_;
  std::vector<model::Photo> photos_;
};

std::vector<model::Photo> two_photos(Store& store) {
  std::vector<model::Photo> photos;
  for (const auto* contents : {"one", "two"}) {
    const auto bytes = bytes_of(contents);
    photos.push_back(ok(store.keep_photo({bytes, photo_record("a.jpg")})));
  }
  return photos;
}

RC_GTEST_PROP(UndoProperty, UndoingAllLeadsToTheStartAndRedoingAllToTheEnd, ()) {
  const TempFolder temp(fast_place());
  auto store = ok(Store::create(temp.logbook()));
  RandomEdits edits(store, two_photos(store));
  const auto start = state_of(store);
  const int count = *rc::gen::inRange(1, 25);
  for (int i = 0; i < count; ++i) {
    edits.one();
    if (*rc::gen::inRange(0, 5) == 0 && store.undo_name()) ok(store.undo());
    if (*rc::gen::inRange(0, 8) == 0 && store.redo_name()) ok(store.redo());
  }
  while (store.redo_name()) ok(store.redo());
  const auto end = state_of(store);
  RC_ASSERT(ok(store.verify()).faults.empty());
  std::vector<std::string> on_the_way;
  while (store.undo_name()) {
    on_the_way.push_back(state_of(store));
    ok(store.undo());
  }
  RC_ASSERT(state_of(store) == start);
  while (store.redo_name()) {
    ok(store.redo());
    RC_ASSERT(state_of(store) == on_the_way.back());
    on_the_way.pop_back();
  }
  RC_ASSERT(state_of(store) == end);
  RC_ASSERT(ok(store.verify()).faults.empty());
}

}  // namespace
}  // namespace spile::db::test
