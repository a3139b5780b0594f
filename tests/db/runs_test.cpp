// Runs and the bilge: kept as typed, undone and redone, removed with their opening.
#include "fixture.hpp"

using namespace spile;
using namespace spile::db;
using namespace spile::db::test;
using testing::ElementsAre;
using testing::IsEmpty;

namespace {

class Runs : public testing::Test {
 protected:
  Runs() {
    ok(store.edit("Add", [&](Edit& edit) {
      first = edit.save_opening(opening("P-1"));
      second = edit.save_opening(opening("P-2"));
    }));
  }
  [[nodiscard]] model::Run sink() const {
    model::Run run;
    run.opening = first;
    run.name = "galley sink";
    run.outlet_height_mm = 350;
    run.basin_depth_mm = 160;
    run.basin_litres = 14;
    run.from_centreline_mm = -200;
    run.notes = "Behind the stove.";
    run.parts = {{"sink-38", {}, {}, {}, {}, {}, false, {}},
                 {"hose-38", 37.6, 1200, -400, 2, {}, true, "hard as wood"},
                 {"pump-bilge-2000", {}, {}, {}, {}, "0 m 30; 3 m 0", false, {}}};
    return run;
  }
  model::RunId add(const model::Run& run) {
    model::RunId id;
    ok(store.edit("Add run", [&](Edit& edit) { id = edit.save_run(run); }));
    return id;
  }

  TempFolder temp{fast_place()};
  Store store = ok(Store::create(temp.logbook()));
  model::OpeningId first, second;
};

}  // namespace

TEST_F(Runs, ComeBackAsTheyWereSaved) {
  auto run = sink();
  run.id = add(run);
  auto other = sink();
  other.joins = model::RunJoin{run.id, 1};
  other.id = add(other);
  EXPECT_THAT(ok(store.runs()), ElementsAre(run, other));
  expect_whole(store);
}

TEST_F(Runs, WhatCannotBeIsKeptAsTyped) {
  auto run = sink();
  run.parts[1].length_mm = -300;
  run.parts[1].bore_mm = 0;
  run.parts[2].curve = "3 m 0; 4 m 20";
  run.parts[0].part = "no such part";
  run.id = add(run);
  run.joins = model::RunJoin{run.id, 7};
  ok(store.edit("Join itself", [&](Edit& edit) { edit.save_run(run); }));
  EXPECT_THAT(ok(store.runs()), ElementsAre(run));
  expect_whole(store);
}

TEST_F(Runs, UndoAndRedoGoByTheWholeRun) {
  auto run = sink();
  run.id = add(run);
  auto shorter = run;
  shorter.parts.erase(shorter.parts.begin());
  ok(store.edit("Take out sink", [&](Edit& edit) { edit.save_run(shorter); }));
  EXPECT_THAT(ok(store.runs()), ElementsAre(shorter));
  ok(store.undo());
  EXPECT_THAT(ok(store.runs()), ElementsAre(run));
  ok(store.undo());
  EXPECT_THAT(ok(store.runs()), IsEmpty());
  ok(store.redo());
  ok(store.redo());
  EXPECT_THAT(ok(store.runs()), ElementsAre(shorter));
  expect_whole(store);
}

TEST_F(Runs, GoWithTheirOpeningAndComeBackWithIt) {
  auto host = sink();
  host.id = add(host);
  auto joined = sink();
  joined.opening = second;
  joined.joins = model::RunJoin{host.id, 1};
  joined.id = add(joined);
  ok(store.edit("Remove", [&](Edit& edit) { edit.remove_opening(first); }));
  const auto left = ok(store.runs());
  ASSERT_EQ(left.size(), 1u);
  EXPECT_EQ(left[0].id, joined.id);
  EXPECT_FALSE(left[0].joins);
  ok(store.undo());
  EXPECT_THAT(ok(store.runs()), ElementsAre(host, joined));
  expect_whole(store);
}

TEST_F(Runs, OneThatOthersJoinStays) {
  const auto host = add(sink());
  auto joined = sink();
  joined.joins = model::RunJoin{host, 1};
  const auto id = add(joined);
  const auto refused = store.edit("Remove", [&](Edit& edit) { edit.remove_run(host); });
  EXPECT_EQ(code_of(refused), ErrorCode::Refused);
  EXPECT_THAT(refused.error().what, testing::HasSubstr("another run joins it"));
  ok(store.edit("Remove", [&](Edit& edit) { edit.remove_run(id); }));
  ok(store.edit("Remove", [&](Edit& edit) { edit.remove_run(host); }));
  EXPECT_EQ(code_of(store.edit("Again", [&](Edit& edit) { edit.remove_run(host); })), ErrorCode::NotFound);
}

TEST_F(Runs, BilgeIsOne) {
  EXPECT_EQ(ok(store.bilge()), model::Bilge{});
  const model::Bilge bilge{450, 21.5, 40};
  ok(store.edit("Bilge", [&](Edit& edit) { edit.save_bilge(bilge); }));
  EXPECT_EQ(ok(store.bilge()), bilge);
  ok(store.edit("Bilge", [&](Edit& edit) { edit.save_bilge({450, {}, {}}); }));
  EXPECT_EQ(ok(store.bilge()), (model::Bilge{450, {}, {}}));
  ok(store.undo());
  EXPECT_EQ(ok(store.bilge()), bilge);
  EXPECT_EQ(code_of(store.edit("Bilge",
                               [&](Edit& edit) {
                                 edit.save_bilge({-1, {}, {}});
                               })),
            ErrorCode::BadInput);
}
