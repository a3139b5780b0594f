// Undo and redo, also over a restart, and over any sequence of edits.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include "random_edits.hpp"

namespace spile::db::test {
namespace {

using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

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
