// Writes the logbook that each version of the schema leaves behind for the tests of later ones. Once per
// version:
//   db_fixture /tmp/a.spile && sqlite3 /tmp/a.spile/log.sqlite .dump > tests/db/data/logbook_version_N.sql
// and its folder photos beside it.
#include <cstdio>
#include <exception>

#include "fixture.hpp"

namespace spile::db::test {
namespace {

model::OpeningId fill_records(Store& store, model::SurveyId& spring) {
  model::OpeningId first;
  ok(store.edit("Begin the logbook", [&](Edit& edit) {
    model::Vessel vessel;
    vessel.name = "Zwölfer";
    vessel.length_mm = 9980;
    vessel.heel_deg = 25;
    edit.save_vessel(vessel);
    first = edit.save_opening(opening("P-01"));
    edit.save_opening(opening("P-02"));
    edit.save_survey(survey("2025-10-03"));
    spring = edit.save_survey(survey("2026-04-12"));
    model::Fitting fitting;
    fitting.opening = first;
    fitting.kind = "flanged";
    fitting.material = "bronze";
    fitting.nominal_size = "1-1/2 in";
    fitting.fitted = "1998";
    edit.save_fitting(fitting);
    model::Observation seen;
    seen.opening = first;
    seen.survey = spring;
    seen.condition = model::Condition::Worn;
    seen.backing_thickness_mm = 18;
    edit.save_observation(seen);
  }));
  return first;
}

void fill_photo(Store& store, model::OpeningId opening_id, model::SurveyId spring) {
  const auto bytes = bytes_of("an invented picture of a hole");
  const auto photo = ok(store.keep_photo({bytes, photo_record("hole.jpg")}));
  ok(store.edit("Import hole.jpg", [&](Edit& edit) {
    edit.save_photo_use({{}, photo.id, spring, opening_id, "from inside", "hole 38.12 mm"});
    edit.save_photo_use({{}, photo.id, spring, std::nullopt, "", ""});
    auto seen = diameter(opening_id, spring, 38.12);
    seen.photo = photo.id;
    seen.method = model::Method::PhotoAuto;
    seen.trace = model::Trace{"card", {{1, 2}, {3, 4.25}},    std::nullopt, "assumed", {{5, 6}},
                              {},     model::PixelPoint{7, 8}};
    edit.add_measurement(seen);
  }));
}

// Corrections, a withdrawal, something undone and something abandoned: each state of the journal.
void fill_changes(Store& store, model::OpeningId opening_id, model::SurveyId spring) {
  ok(store.edit("Correct", [&](Edit& edit) {
    auto by_caliper = diameter(opening_id, spring, 38.4);
    const auto first = edit.add_measurement(by_caliper);
    by_caliper.supersedes = first;
    edit.add_measurement(by_caliper);
    edit.withdraw_measurement(edit.add_measurement(diameter(opening_id, spring, 83.4)));
  }));
  ok(store.edit("Add P-98", [](Edit& edit) { edit.save_opening(opening("P-98")); }));
  ok(store.undo());
  ok(store.edit("Add P-03", [](Edit& edit) { edit.save_opening(opening("P-03")); }));
  ok(store.edit("Add P-99", [](Edit& edit) { edit.save_opening(opening("P-99")); }));
  ok(store.undo());
}

void fill_water(Store& store, model::OpeningId opening_id) {
  ok(store.edit("Add the sink's run", [&](Edit& edit) {
    model::Run run;
    run.opening = opening_id;
    run.name = "galley sink";
    run.outlet_height_mm = 410;
    run.basin_depth_mm = 160;
    run.basin_litres = 9;
    run.parts = {{"hose", 38, 1200, -300, 2, {}, false, {}}};
    edit.save_run(run);
    model::Bilge bilge;
    bilge.sole_litres = 900;
    edit.save_bilge(bilge);
    edit.save_yard_table({"thresholds.csv", "key,value\nx,1\n"});
  }));
}

}  // namespace
}  // namespace spile::db::test

int main(int argc, char** argv) try {
  using namespace spile::db::test;
  if (argc != 2) {
    std::fputs("usage: db_fixture FOLDER\n", stderr);
    return 2;
  }
  auto store = ok(spile::db::Store::create(argv[1]));
  spile::model::SurveyId spring;
  const auto opening_id = fill_records(store, spring);
  fill_photo(store, opening_id, spring);
  fill_water(store, opening_id);
  fill_changes(store, opening_id, spring);
  expect_whole(store);
  return 0;
} catch (const std::exception& fault) {
  std::fprintf(stderr, "%s\n", fault.what());
  return 1;
}
