// Two copies of one logbook, both worked on, brought together: named cases.
#include <gtest/gtest.h>

#include <set>

#include "db/merge_match.hpp"
#include "random_edits.hpp"

namespace spile::db::test {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

// A logbook with two openings and a survey, and a copy of it for somebody else.
class Merge : public testing::Test {
 protected:
  void SetUp() override {
    {
      auto store = ok(Store::create(temp_.logbook()));
      ok(store.edit("Start", [&](Edit& edit) {
        galley_.id = edit.save_opening(galley_);
        head_.id = edit.save_opening(head_);
        survey_ = edit.save_survey(survey("2026-04-12"));
        first_ = edit.add_measurement(diameter(galley_.id, survey_, 27.4));
      }));
    }
    fs::copy(temp_.logbook(), temp_.path() / "Stern.spile", fs::copy_options::recursive);
    mine_.emplace(ok(Store::open(temp_.logbook())));
    theirs_.emplace(ok(Store::open(temp_.path() / "Stern.spile")));
  }

  MergeOutcome merge(const MergeChoices& choices = {}) {
    auto outcome = ok(mine_->merge(*theirs_, choices));
    expect_whole(*mine_);
    return outcome;
  }
  void edit_mine(const std::function<void(Edit&)>& change) { ok(mine_->edit("Here", change)); }
  void edit_theirs(const std::function<void(Edit&)>& change) { ok(theirs_->edit("There", change)); }
  [[nodiscard]] std::vector<std::string> tags() const {
    std::vector<std::string> tags;
    for (const auto& o : ok(mine_->openings())) tags.push_back(o.tag);
    return tags;
  }

  TempFolder temp_;
  model::Opening galley_ = opening("P-01"), head_ = opening("S-01");
  model::SurveyId survey_;
  model::MeasurementId first_;
  std::optional<Store> mine_, theirs_;
};

TEST_F(Merge, TakesOverWhatTheOtherAddedAndChanged) {
  edit_mine([&](Edit& edit) { edit.save_opening(opening("P-02")); });
  edit_theirs([&](Edit& edit) {
    const auto id = edit.save_opening(opening("S-02"));
    edit.add_measurement(diameter(id, survey_, 38.2));
    auto lower = head_;
    lower.height_mm = -120;
    edit.save_opening(lower);
  });
  const auto before = state_of(*mine_);
  const auto outcome = merge();
  EXPECT_TRUE(outcome.written);
  EXPECT_THAT(outcome.open, IsEmpty());
  EXPECT_THAT(tags(), ElementsAre("P-01", "P-02", "S-01", "S-02"));
  const auto openings = ok(mine_->openings());
  EXPECT_EQ(openings[2].height_mm, -120);
  const auto measured = ok(mine_->measurements());
  ASSERT_THAT(measured, SizeIs(2));
  EXPECT_EQ(measured[1].opening, openings[3].id)
      << "not the one that has the same number on the other laptop";
  EXPECT_THAT(measured[1].budget, SizeIs(2));
  EXPECT_EQ(mine_->undo_name(), "Merge Stern.spile");
  ok(mine_->undo());
  EXPECT_EQ(state_of(*mine_), before);
  ok(mine_->redo());
  EXPECT_THAT(tags(), SizeIs(4));
}

TEST_F(Merge, ASecondTimeThereIsNothingToDo) {
  edit_theirs([&](Edit& edit) {
    const auto id = edit.add_measurement(diameter(galley_.id, survey_, 27.6));
    auto corrected = diameter(galley_.id, survey_, 27.5);
    corrected.supersedes = id;
    edit.add_measurement(corrected);
  });
  EXPECT_TRUE(merge().written);
  EXPECT_FALSE(merge().written);
  EXPECT_THAT(ok(mine_->all_measurements()), SizeIs(3));
}

TEST_F(Merge, ListsWhatBothChangedAndChangesNothingUntilItIsChosen) {
  edit_mine([&](Edit& edit) {
    auto o = galley_;
    o.height_mm = -100;
    o.notes = "behind the stove";
    edit.save_opening(o);
  });
  edit_theirs([&](Edit& edit) {
    auto o = galley_;
    o.height_mm = -110;
    o.service = "shower-drain";
    edit.save_opening(o);
  });
  const auto before = state_of(*mine_);
  const auto asked = merge();
  EXPECT_FALSE(asked.written);
  EXPECT_EQ(state_of(*mine_), before);
  ASSERT_THAT(asked.open, SizeIs(1));
  EXPECT_EQ(asked.open[0].key, "P-01: height (mm)");
  EXPECT_EQ(asked.open[0].before, "");
  EXPECT_EQ(asked.open[0].mine, "-100");
  EXPECT_EQ(asked.open[0].theirs, "-110");
  const auto outcome = merge({{"P-01: height (mm)", MergeSide::Theirs}});
  EXPECT_THAT(outcome.decided, SizeIs(1));
  const auto merged = ok(mine_->openings()).front();
  EXPECT_EQ(merged.height_mm, -110);
  EXPECT_EQ(merged.notes, "behind the stove") << "only one of them changed this";
  EXPECT_EQ(merged.service, "shower-drain");
}

TEST_F(Merge, AChoiceThatNamesNoConflictIsReported) {
  edit_theirs([&](Edit& edit) { edit.save_opening(opening("S-02")); });
  EXPECT_THAT(merge({{"P-09: height (mm)", MergeSide::Mine}}).unused, ElementsAre("P-09: height (mm)"));
}

TEST_F(Merge, WhatOneTookOutAndTheOtherWorkedOnIsAsked) {
  edit_mine([&](Edit& edit) { edit.remove_opening(galley_.id); });
  edit_theirs([&](Edit& edit) { edit.add_measurement(diameter(galley_.id, survey_, 27.6)); });
  const auto asked = merge();
  ASSERT_THAT(asked.open, SizeIs(1));
  EXPECT_EQ(asked.open[0].key, "P-01: taken out");
  merge({{"P-01: taken out", MergeSide::Theirs}});
  EXPECT_THAT(tags(), ElementsAre("P-01", "S-01"));
  EXPECT_THAT(ok(mine_->measurements()), SizeIs(2)) << "with what was measured before";
  ok(mine_->undo());
  merge({{"P-01: taken out", MergeSide::Mine}});
  EXPECT_THAT(tags(), ElementsAre("S-01"));
}

TEST_F(Merge, WhatOneTookOutAndTheOtherLeftAloneGoes) {
  edit_theirs([&](Edit& edit) { edit.remove_opening(galley_.id); });
  EXPECT_THAT(merge().open, IsEmpty());
  EXPECT_THAT(tags(), ElementsAre("S-01"));
  EXPECT_THAT(ok(mine_->all_measurements()), IsEmpty());
}

TEST_F(Merge, OneTagAddedByBothIsOneOpeningOrTwoAsChosen) {
  auto here = opening("P-02"), there = opening("p-02");
  here.notes = "forward";
  there.notes = "aft";
  edit_mine([&](Edit& edit) { edit.save_opening(here); });
  edit_theirs([&](Edit& edit) {
    const auto id = edit.save_opening(there);
    edit.add_measurement(diameter(id, survey_, 19.1));
  });
  const auto asked = merge();
  ASSERT_THAT(asked.open, SizeIs(1));
  EXPECT_TRUE(asked.open[0].both_possible);
  EXPECT_THAT(asked.open[0].mine, HasSubstr("forward"));
  const auto key = asked.open[0].key;
  merge({{key, MergeSide::Both}});
  EXPECT_THAT(tags(), ElementsAre("P-01", "P-02", "p-02 (2)", "S-01"));
  ok(mine_->undo());
  merge({{key, MergeSide::Theirs}});
  EXPECT_THAT(tags(), ElementsAre("P-01", "p-02", "S-01"));
  EXPECT_EQ(ok(mine_->measurements()).back().opening, ok(mine_->openings())[1].id);
}

TEST_F(Merge, TagsMayChangePlaces) {
  edit_theirs([&](Edit& edit) {
    auto a = galley_, b = head_;
    a.tag = "aside";
    edit.save_opening(a);
    b.tag = "P-01";
    edit.save_opening(b);
    a.tag = "S-01";
    edit.save_opening(a);
  });
  const auto before = state_of(*mine_);
  EXPECT_TRUE(merge().written);
  EXPECT_EQ(ok(mine_->openings()).front().id, head_.id);
  ok(mine_->undo());
  EXPECT_EQ(state_of(*mine_), before);
}

TEST_F(Merge, ATagGivenToTwoOpeningsIsAsked) {
  edit_mine([&](Edit& edit) {
    auto o = galley_;
    o.tag = "P-07";
    edit.save_opening(o);
  });
  edit_theirs([&](Edit& edit) { edit.save_opening(opening("P-07")); });
  const auto asked = merge();
  ASSERT_THAT(asked.open, SizeIs(1));
  merge({{asked.open[0].key, MergeSide::Theirs}});
  EXPECT_THAT(tags(), ElementsAre("P-07", "P-07 (2)", "S-01"));
  EXPECT_EQ(ok(mine_->openings())[1].id, galley_.id);
}

TEST_F(Merge, OfTwoCorrectionsOneStandsAndTheOtherIsKept) {
  const auto correct = [&](Store& store, double mm) {
    ok(store.edit("Correct", [&](Edit& edit) {
      auto m = diameter(galley_.id, survey_, mm);
      m.supersedes = first_;
      m.supersedes = edit.add_measurement(m);
      m.value = mm + 0.1;
      edit.add_measurement(m);
    }));
  };
  correct(*mine_, 27.6);
  correct(*theirs_, 28.0);
  const auto before = state_of(*mine_);
  const auto asked = merge();
  ASSERT_THAT(asked.open, SizeIs(1));
  for (const auto side : {MergeSide::Mine, MergeSide::Theirs}) {
    merge({{asked.open[0].key, side}});
    const auto standing = ok(mine_->measurements());
    ASSERT_THAT(standing, SizeIs(1));
    EXPECT_DOUBLE_EQ(standing[0].value, side == MergeSide::Mine ? 27.7 : 28.1);
    EXPECT_THAT(ok(mine_->all_measurements()), SizeIs(5));
    EXPECT_THAT(ok(mine_->all_measurements()),
                Contains(Field(&model::Measurement::note, HasSubstr("two logbooks were brought together"))));
    ok(mine_->undo());
    EXPECT_EQ(state_of(*mine_), before);
  }
}

TEST_F(Merge, PhotosComeAlongByWhatTheyHold) {
  const auto shared = bytes_of("the same picture"), other = bytes_of("another picture");
  edit_mine([](Edit& edit) { edit.save_opening(opening("P-02")); });
  const auto own = ok(mine_->keep_photo({shared, photo_record("IMG_1.jpg")}));
  edit_mine([&](Edit& edit) { edit.save_photo_use({{}, own.id, survey_, galley_.id, "", ""}); });
  const auto extra = ok(theirs_->keep_photo({other, photo_record("DSC_7.jpg")}));
  const auto same = ok(theirs_->keep_photo({shared, photo_record("copy.jpg")}));
  edit_theirs([&](Edit& edit) {
    edit.save_photo_use({{}, extra.id, survey_, head_.id, "", ""});
    edit.save_photo_use({{}, same.id, survey_, galley_.id, "", ""});
  });
  const auto outcome = merge();
  EXPECT_EQ(outcome.photos, 1);
  EXPECT_THAT(ok(mine_->photos()), SizeIs(2));
  const auto uses = ok(mine_->photo_uses());
  ASSERT_THAT(uses, SizeIs(2)) << "one photo at one opening is filed once";
  EXPECT_EQ(ok(mine_->photo_bytes(uses[1].photo)), other);
}

TEST_F(Merge, APhotoThatIsGoneOnTheOtherSideStopsItWithNothingChanged) {
  const auto bytes = bytes_of("another picture");
  const auto extra = ok(theirs_->keep_photo({bytes, photo_record("DSC_7.jpg")}));
  edit_theirs([&](Edit& edit) { edit.save_photo_use({{}, extra.id, survey_, head_.id, "", ""}); });
  fs::remove(theirs_->photo_path(extra));
  const auto before = state_of(*mine_);
  const auto refused = mine_->merge(*theirs_, {});
  EXPECT_EQ(code_of(refused), ErrorCode::FileMissing);
  EXPECT_EQ(state_of(*mine_), before);
  expect_whole(*mine_);
}

TEST_F(Merge, WhatOnlyOneUndidIsAsked) {
  ok(theirs_->undo());
  const auto asked = merge();
  ASSERT_THAT(asked.open, SizeIs(1));
  EXPECT_EQ(asked.open[0].key, "“Start”: undone");
  EXPECT_EQ(asked.open[0].theirs, "undone");
  EXPECT_FALSE(merge({{asked.open[0].key, MergeSide::Mine}}).written);
  EXPECT_THAT(tags(), SizeIs(2));
  merge({{asked.open[0].key, MergeSide::Theirs}});
  EXPECT_THAT(tags(), IsEmpty());
}

TEST_F(Merge, LogbooksThatDidNotBeginAsOneAreRefused) {
  const TempFolder elsewhere;
  {
    SQLite::Database db((mine_->folder() / "log.sqlite").string(), SQLite::OPEN_READWRITE);
    db.exec("DELETE FROM journal_step; DELETE FROM journal");  // as a migration that gives up undo
  }
  const auto other = ok(Store::create(elsewhere.logbook()));
  const auto refused = mine_->merge(other, {});
  EXPECT_EQ(code_of(refused), ErrorCode::Refused);
  expect_clear(refused.error(), "did not begin as one");
}

// A new rule that something be unique needs an answer for what to do when two people both add one.
TEST(MergeSchema, EveryUniqueIndexIsKnownToTheMerge) {
  const TempFolder temp;
  (void)ok(Store::create(temp.logbook()));
  const SQLite::Database db((temp.logbook() / "log.sqlite").string(), SQLite::OPEN_READONLY);
  const std::set<std::vector<std::string>> settled_elsewhere{
      {"supersedes"},                    // merge_chains
      {"id", "opening_id", "quantity"},  // never another one: id is unique
      {"photo_id", "survey_id"}};        // of photos filed with no opening: part of photo_use's key
  for (const auto& table : record_tables(db)) {
    SQLite::Statement index(db, "SELECT name FROM pragma_index_list('" + table.name + "') WHERE \"unique\"");
    while (index.executeStep()) {
      SQLite::Statement column(
          db, "SELECT name FROM pragma_index_info('" + index.getColumn(0).getString() + "')");
      std::vector<std::string> columns;
      while (column.executeStep()) columns.push_back(column.getColumn(0).getString());
      EXPECT_TRUE(columns == natural_key(table.name) || settled_elsewhere.count(columns) > 0)
          << table.name << ": " << testing::PrintToString(columns);
    }
  }
}

}  // namespace
}  // namespace spile::db::test
