// Records in, the same records out; what the logbook refuses, and in which words.
#include <gtest/gtest.h>

#include <limits>

#include "fixture.hpp"
#include "model/names.hpp"

namespace spile::db::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

class StoreTest : public testing::Test {
 protected:
  model::OpeningId add_opening(const std::string& tag) {
    model::OpeningId id;
    ok(store.edit("Add " + tag, [&](Edit& edit) { id = edit.save_opening(opening(tag)); }));
    return id;
  }
  model::SurveyId add_survey(const std::string& date) {
    model::SurveyId id;
    ok(store.edit("Add survey", [&](Edit& edit) { id = edit.save_survey(survey(date)); }));
    return id;
  }
  model::MeasurementId add(const model::Measurement& m) {
    model::MeasurementId id;
    ok(store.edit("Measure", [&](Edit& edit) { id = edit.add_measurement(m); }));
    return id;
  }
  Result<void> try_add(const model::Measurement& m) {
    return store.edit("Measure", [&](Edit& edit) { edit.add_measurement(m); });
  }
  model::Photo keep(std::string_view contents, const std::string& name = "IMG_0001.jpg") {
    const auto bytes = bytes_of(contents);
    return ok(store.keep_photo({bytes, photo_record(name)}));
  }

  TempFolder temp;
  Store store = ok(Store::create(temp.logbook()));
};

TEST_F(StoreTest, ANewLogbookIsEmptyAndWhole) {
  EXPECT_FALSE(ok(store.vessel()));
  EXPECT_THAT(ok(store.openings()), IsEmpty());
  EXPECT_FALSE(store.undo_name());
  EXPECT_FALSE(store.redo_name());
  EXPECT_EQ(store.folder(), temp.logbook());
  const auto report = ok(store.verify());
  EXPECT_THAT(report.faults, IsEmpty());
  EXPECT_THAT(report.notes, IsEmpty());
}

TEST_F(StoreTest, AVesselIsSavedAndSavedOver) {
  model::Vessel v;
  v.name = "Grauwacke Zwölf";
  v.type = model::VesselType::SailMultihull;
  v.construction = model::HullConstruction::Sandwich;
  v.length_mm = 9980.5;
  v.draught_mm = 1700;
  v.loaded_sinkage_mm = 60;
  v.built = "about 1979";
  ok(store.edit("Vessel", [&](Edit& edit) { edit.save_vessel(v); }));
  auto read = ok(store.vessel());
  ASSERT_TRUE(read);
  EXPECT_EQ(read->name, v.name);
  EXPECT_EQ(read->type, v.type);
  EXPECT_EQ(read->construction, v.construction);
  EXPECT_EQ(read->length_mm, v.length_mm);
  EXPECT_EQ(read->beam_mm, std::nullopt);
  EXPECT_EQ(read->loaded_sinkage_mm, 60);
  EXPECT_EQ(read->heel_deg, std::nullopt);
  v.heel_deg = 25;
  ok(store.edit("Vessel", [&](Edit& edit) { edit.save_vessel(v); }));
  EXPECT_EQ(ok(store.vessel())->heel_deg, 25);
}

TEST_F(StoreTest, AnOpeningKeepsWhatIsKnownAndLeavesTheRestUnknown) {
  auto o = opening("P-03");
  o.side = model::Side::Starboard;
  o.from_bow_mm = 3120;
  o.height_mm = -85.5;
  o.construction = model::HullConstruction::SingleSkin;
  o.notes = "behind the “heads” locker; see sketch";
  ok(store.edit("Add P-03", [&](Edit& edit) { o.id = edit.save_opening(o); }));
  const auto read = ok(store.openings()).at(0);
  EXPECT_EQ(read.id, o.id);
  EXPECT_EQ(read.tag, "P-03");
  EXPECT_EQ(read.service, "sink-drain");
  EXPECT_EQ(read.side, model::Side::Starboard);
  EXPECT_EQ(read.from_bow_mm, 3120);
  EXPECT_EQ(read.height_mm, -85.5);
  EXPECT_EQ(read.half_breadth_mm, std::nullopt);
  EXPECT_EQ(read.construction, model::HullConstruction::SingleSkin);
  EXPECT_EQ(read.notes, o.notes);
}

TEST_F(StoreTest, OpeningsComeInNaturalOrderOfTheirTags) {
  for (const auto* tag : {"S-1", "P-10", "p-2", "P-1", "P-01a"}) add_opening(tag);
  std::vector<std::string> tags;
  for (const auto& o : ok(store.openings())) tags.push_back(o.tag);
  EXPECT_THAT(tags, ElementsAre("P-1", "P-01a", "p-2", "P-10", "S-1"));
}

TEST_F(StoreTest, FittingObservationAndPhotoUseComeBackWhole) {
  const auto o = add_opening("P-03");
  const auto s = add_survey("2026-04-12");
  const auto photo = keep("picture");
  model::Fitting f;
  f.opening = o;
  f.kind = "flanged";
  f.material = "bronze";
  f.nominal_size = "1-1/2 in";
  f.fitted = "1998?";
  model::Observation seen;
  seen.opening = o;
  seen.survey = s;
  seen.seen = model::Seen::Looked;
  seen.condition = model::Condition::Worn;
  seen.waterline = model::Waterline::Below;
  seen.valve = model::ValveState::Stiff;
  seen.backing = model::Backing::Present;
  seen.backing_thickness_mm = 18;
  model::PhotoUse use;
  use.photo = photo.id;
  use.survey = s;
  use.caption = "from inside";
  ok(store.edit("All", [&](Edit& edit) {
    f.id = edit.save_fitting(f);
    seen.id = edit.save_observation(seen);
    use.id = edit.save_photo_use(use);
  }));
  const auto fitting = ok(store.fittings()).at(0);
  EXPECT_EQ(fitting.id, f.id);
  EXPECT_EQ(fitting.opening, o);
  EXPECT_EQ(fitting.material, "bronze");
  EXPECT_EQ(fitting.thread, "");
  EXPECT_EQ(fitting.fitted, "1998?");
  const auto read = ok(store.observations(s)).at(0);
  EXPECT_EQ(read.id, seen.id);
  EXPECT_EQ(read.condition, model::Condition::Worn);
  EXPECT_EQ(read.waterline, model::Waterline::Below);
  EXPECT_EQ(read.valve, model::ValveState::Stiff);
  EXPECT_EQ(read.backing_thickness_mm, 18);
  EXPECT_EQ(read.fitting_material, "");
  EXPECT_FALSE(ok(store.photo_uses()).at(0).opening);
  use.opening = o;
  ok(store.edit("File", [&](Edit& edit) { edit.save_photo_use(use); }));
  EXPECT_EQ(ok(store.photo_uses()).at(0).opening, o);
  ok(store.edit("Remove", [&](Edit& edit) {
    edit.remove_fitting(f.id);
    edit.remove_photo_use(use.id);
  }));
  EXPECT_THAT(ok(store.fittings()), IsEmpty());
  EXPECT_THAT(ok(store.photo_uses()), IsEmpty());
  EXPECT_THAT(ok(store.photos()), SizeIs(1));
}

TEST_F(StoreTest, WhatTheRulesReadComesBackWhole) {
  auto o = opening("P-03");
  o.hull_radius_mm = 1400;
  o.frame_mm = 220;
  o.clear_depth_mm = 310;
  o.clear_width_mm = 120;
  o.reach = model::Reach::WithTools;
  o.reach_s = 25;
  model::Fitting f;
  f.valve_thread = "npt-1";
  f.valve_material = "tin-bronze";
  f.tail_material = "brass";
  f.bedding = "polysulfide";
  f.shank_mm = 33.4;
  f.thread_length_mm = 80;
  f.nut_mm = 12;
  f.stack_mm = 95;
  f.tail_mm = 50;
  f.bore_mm = 25.4;
  f.bend_mm = 100;
  f.next = {"1-1/4 in", "silicon-bronze", 42.2, 74, 90};
  model::Observation seen;
  seen.survey = add_survey("2026-04-12");
  seen.findings = {"pink-metal", "weeping"};
  seen.clips = 1;
  seen.plug = model::Plug::Tied;
  seen.bonding_ohm = 0.4;
  ok(store.edit("All", [&](Edit& edit) {
    f.opening = seen.opening = edit.save_opening(o);
    edit.save_fitting(f);
    edit.save_observation(seen);
  }));
  const auto place = ok(store.openings()).at(0);
  EXPECT_EQ(place.hull_radius_mm, 1400);
  EXPECT_EQ(place.frame_mm, 220);
  EXPECT_EQ(place.clear_depth_mm, 310);
  EXPECT_EQ(place.clear_width_mm, 120);
  EXPECT_EQ(place.reach, model::Reach::WithTools);
  EXPECT_EQ(place.reach_s, 25);
  const auto fitting = ok(store.fittings()).at(0);
  EXPECT_EQ(fitting.valve_thread, "npt-1");
  EXPECT_EQ(fitting.valve_material, "tin-bronze");
  EXPECT_EQ(fitting.tail_material, "brass");
  EXPECT_EQ(fitting.bedding, "polysulfide");
  EXPECT_EQ(fitting.shank_mm, 33.4);
  EXPECT_EQ(fitting.thread_length_mm, 80);
  EXPECT_EQ(fitting.nut_mm, 12);
  EXPECT_EQ(fitting.stack_mm, 95);
  EXPECT_EQ(fitting.tail_mm, 50);
  EXPECT_EQ(fitting.bore_mm, 25.4);
  EXPECT_EQ(fitting.bend_mm, 100);
  EXPECT_EQ(fitting.next, f.next);
  const auto read = ok(store.observations(seen.survey)).at(0);
  EXPECT_THAT(read.findings, ElementsAre("pink-metal", "weeping"));
  EXPECT_EQ(read.clips, 1);
  EXPECT_EQ(read.plug, model::Plug::Tied);
  EXPECT_EQ(read.bonding_ohm, 0.4);
}

TEST_F(StoreTest, AYardsTableIsLaidTakenOffAndUndone) {
  ok(store.edit("Lay", [](Edit& edit) { edit.save_yard_table({"thresholds.csv", "key\nfirst\n"}); }));
  ok(store.edit("Lay", [](Edit& edit) { edit.save_yard_table({"thresholds.csv", "key\nsecond\n"}); }));
  ASSERT_THAT(ok(store.yard_tables()), SizeIs(1));
  EXPECT_EQ(ok(store.yard_tables()).front().csv, "key\nsecond\n");
  ok(store.edit("Off", [](Edit& edit) { edit.remove_yard_table("thresholds.csv"); }));
  EXPECT_THAT(ok(store.yard_tables()), IsEmpty());
  ok(store.undo());
  ok(store.undo());
  EXPECT_EQ(ok(store.yard_tables()).front().csv, "key\nfirst\n");
}

TEST_F(StoreTest, AMeasurementKeepsItsBudgetAndItsTraceToTheLastBit) {
  auto m = diameter(add_opening("P-03"), add_survey("2026-04-12"), 38.12);
  m.photo = keep("picture").id;
  m.method = model::Method::PhotoByHand;
  m.trace = model::Trace{"points",
                         {{0.1, 1.0 / 3.0}, {4031.75, 2.5e-17}},
                         100.0,
                         "calibrated 2026-04-12",
                         {{1, 2}},
                         {},
                         model::PixelPoint{7, 8}};
  const auto id = add(m);
  const auto read = ok(store.measurements()).at(0);
  EXPECT_EQ(read.id, id);
  EXPECT_EQ(read.value, 38.12);
  EXPECT_EQ(read.u95, 0.1);
  EXPECT_EQ(read.made_at, "2026-04-12T09:30:00Z");
  ASSERT_THAT(read.budget, SizeIs(2));
  EXPECT_EQ(read.budget[0].term, "caliper scale");
  EXPECT_EQ(read.budget[1].u, 0.04);
  ASSERT_TRUE(read.trace);
  EXPECT_EQ(read.trace->reference_outline, m.trace->reference_outline);
  EXPECT_EQ(read.trace->reference_length_mm, 100.0);
  EXPECT_EQ(read.trace->outline, m.trace->outline);
  EXPECT_THAT(read.trace->by_hand, IsEmpty());
  EXPECT_EQ(read.trace->centre, m.trace->centre);
}

TEST_F(StoreTest, ACorrectionStandsInPlaceOfWhatItCorrects) {
  const auto o = add_opening("P-03");
  const auto s = add_survey("2026-04-12");
  const auto first = add(diameter(o, s, 38));
  auto correction = diameter(o, s, 39);
  correction.supersedes = first;
  const auto second = add(correction);
  ASSERT_THAT(ok(store.measurements()), SizeIs(1));
  EXPECT_EQ(ok(store.measurements())[0].id, second);
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(2));
  // Withdrawing the correction does not bring back a value that was once found wrong.
  ok(store.edit("Withdraw", [&](Edit& edit) { edit.withdraw_measurement(second); }));
  EXPECT_THAT(ok(store.measurements()), IsEmpty());
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(2));
  EXPECT_THAT(ok(store.withdrawn()), ElementsAre(second));
}

TEST_F(StoreTest, ACorrectionMustBeOfTheSameOpeningAndQuantityAndTheOnlyOne) {
  const auto a = add_opening("P-01"), b = add_opening("P-02");
  const auto s = add_survey("2026-04-12");
  const auto first = add(diameter(a, s, 38));
  auto other_opening = diameter(b, s, 39);
  other_opening.supersedes = first;
  EXPECT_EQ(code_of(try_add(other_opening)), ErrorCode::BadInput);
  auto other_quantity = diameter(a, s, 39);
  other_quantity.quantity = model::Quantity::FlangeDiameter;
  other_quantity.supersedes = first;
  EXPECT_EQ(code_of(try_add(other_quantity)), ErrorCode::BadInput);
  auto missing = diameter(a, s, 39);
  missing.supersedes = model::MeasurementId{999};
  EXPECT_EQ(code_of(try_add(missing)), ErrorCode::NotFound);
  auto good = diameter(a, s, 39);
  good.supersedes = first;
  add(good);
  const auto again = try_add(good);
  EXPECT_EQ(code_of(again), ErrorCode::AlreadyExists);
  expect_clear(again.error(), "has been corrected already");
}

TEST_F(StoreTest, RemovingAnOpeningUnfilesItsPhotosAndTakesTheRest) {
  const auto o = add_opening("P-03");
  const auto s = add_survey("2026-04-12");
  const auto filed = keep("one"), twice = keep("two", "IMG_0002.jpg");
  add(diameter(o, s, 38));
  ok(store.edit("File", [&](Edit& edit) {
    edit.save_photo_use({{}, filed.id, s, o, "", ""});
    edit.save_photo_use({{}, twice.id, s, o, "", ""});
    edit.save_photo_use({{}, twice.id, s, std::nullopt, "", ""});
    model::Fitting f;
    f.opening = o;
    edit.save_fitting(f);
  }));
  ok(store.edit("Remove P-03", [&](Edit& edit) { edit.remove_opening(o); }));
  EXPECT_THAT(ok(store.openings()), IsEmpty());
  EXPECT_THAT(ok(store.fittings()), IsEmpty());
  EXPECT_THAT(ok(store.all_measurements()), IsEmpty());
  const auto uses = ok(store.photo_uses());
  ASSERT_THAT(uses, SizeIs(2));
  for (const auto& use : uses) EXPECT_FALSE(use.opening);
  ok(store.undo());
  EXPECT_THAT(ok(store.photo_uses()), SizeIs(3));
  EXPECT_THAT(ok(store.measurements()), SizeIs(1));
  EXPECT_THAT(ok(store.measurements())[0].budget, SizeIs(2));
}

TEST_F(StoreTest, ASurveyIsNotRemovedFromUnderALaterCorrection) {
  const auto o = add_opening("P-03");
  const auto s1 = add_survey("2025-04-12"), s2 = add_survey("2026-04-12");
  const auto first = add(diameter(o, s1, 38));
  auto later = diameter(o, s2, 39);
  later.supersedes = first;
  add(later);
  const auto refused = store.edit("Remove survey", [&](Edit& edit) { edit.remove_survey(s1); });
  EXPECT_EQ(code_of(refused), ErrorCode::Refused);
  expect_clear(refused.error(), "survey");
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(2));
  ok(store.edit("Remove survey", [&](Edit& edit) { edit.remove_survey(s2); }));
  EXPECT_THAT(ok(store.measurements()), SizeIs(1));
  ok(store.edit("Remove survey", [&](Edit& edit) { edit.remove_survey(s1); }));
  EXPECT_THAT(ok(store.surveys()), IsEmpty());
  ok(store.undo());
  ok(store.undo());
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(2));
  expect_whole(store);
}

TEST_F(StoreTest, SurveysComeByDateNewestLast) {
  for (const auto* date : {"2026-04-12", "2024-10-01", "2025-05-30"}) add_survey(date);
  std::vector<std::string> dates;
  for (const auto& s : ok(store.surveys())) dates.push_back(s.date);
  EXPECT_THAT(dates, ElementsAre("2024-10-01", "2025-05-30", "2026-04-12"));
}

TEST_F(StoreTest, ATagIsUniqueWhateverItsCase) {
  add_opening("P-03");
  const auto second = store.edit("Add p-03", [&](Edit& edit) { edit.save_opening(opening("p-03")); });
  EXPECT_EQ(code_of(second), ErrorCode::AlreadyExists);
  expect_clear(second.error(), "same tag");
  EXPECT_THAT(ok(store.openings()), SizeIs(1));
}

TEST_F(StoreTest, WhatIsSavedUnderAnIdThatIsGoneSaysSo) {
  auto o = opening("P-03");
  o.id = model::OpeningId{77};
  const auto done = store.edit("Save", [&](Edit& edit) { edit.save_opening(o); });
  EXPECT_EQ(code_of(done), ErrorCode::NotFound);
  expect_clear(done.error(), "opening");
  const auto removed = store.edit("Remove", [&](Edit& edit) { edit.remove_photo_use({5}); });
  EXPECT_EQ(code_of(removed), ErrorCode::NotFound);
  model::Fitting f;
  f.opening = model::OpeningId{77};
  EXPECT_EQ(code_of(store.edit("Fit", [&](Edit& edit) { edit.save_fitting(f); })), ErrorCode::NotFound);
}

TEST_F(StoreTest, NonsenseIsRefusedInPlainWords) {
  const auto o = add_opening("P-03");
  const auto s = add_survey("2026-04-12");
  auto m = diameter(o, s, 38);
  m.u95 = 0;
  auto refused = try_add(m);
  EXPECT_EQ(code_of(refused), ErrorCode::BadInput);
  expect_clear(refused.error(), "The uncertainty of a measurement must be more than 0");
  m = diameter(o, s, std::numeric_limits<double>::quiet_NaN());
  EXPECT_EQ(code_of(try_add(m)), ErrorCode::BadInput);
  m = diameter(o, s, std::numeric_limits<double>::infinity());
  EXPECT_EQ(code_of(try_add(m)), ErrorCode::BadInput);
  m = diameter(o, s, -1);
  EXPECT_EQ(code_of(try_add(m)), ErrorCode::BadInput);
  m = diameter(o, s, 38);
  m.method = model::Method::PhotoAuto;
  EXPECT_EQ(code_of(try_add(m)), ErrorCode::BadInput);
  refused = store.edit("Survey", [&](Edit& edit) { edit.save_survey(survey("2026-02-30")); });
  EXPECT_EQ(code_of(refused), ErrorCode::BadInput);
  expect_clear(refused.error(), "day of the calendar");
  EXPECT_THAT(ok(store.all_measurements()), IsEmpty());
}

TEST_F(StoreTest, AnEditIsAllOrNothing) {
  const auto thrown = store.edit("Two", [&](Edit& edit) {
    edit.save_opening(opening("P-01"));
    throw std::runtime_error("the cat walked over the keys");
  });
  EXPECT_EQ(code_of(thrown), ErrorCode::Internal);
  EXPECT_THAT(thrown.error().what, HasSubstr("“Two” was not saved."));
  const auto swallowed = store.edit("Three", [&](Edit& edit) {
    edit.save_opening(opening("P-01"));
    try {
      edit.save_opening(opening("P-01"));
    } catch (...) {
    }
  });
  EXPECT_EQ(code_of(swallowed), ErrorCode::AlreadyExists);
  EXPECT_THAT(ok(store.openings()), IsEmpty());
  EXPECT_FALSE(store.undo_name());
  add_opening("P-01");
}

TEST_F(StoreTest, AnEditInsideAnEditIsRefused) {
  Result<void> inner;
  Result<model::Photo> photo = fail(ErrorCode::Internal, "");
  const auto bytes = bytes_of("picture");
  ok(store.edit("Outer", [&](Edit& edit) {
    edit.save_opening(opening("P-01"));
    inner = store.edit("Inner", [](Edit&) {});
    photo = store.keep_photo({bytes, photo_record("a.jpg")});
  }));
  EXPECT_EQ(code_of(inner), ErrorCode::Internal);
  EXPECT_FALSE(photo);
  EXPECT_THAT(ok(store.openings()), SizeIs(1));
  EXPECT_THAT(ok(store.photos()), IsEmpty());
}

TEST_F(StoreTest, AnOriginalIsKeptByteForByteUnderItsHash) {
  std::string contents("nobody's business ");
  for (int byte = 0; byte < 256; ++byte) contents += static_cast<char>(byte);
  const auto photo = keep(contents);
  EXPECT_EQ(photo.bytes, static_cast<std::int64_t>(contents.size()));
  EXPECT_EQ(read_file(store.photo_path(photo)), bytes_of(contents));
  EXPECT_EQ(ok(store.photo_bytes(photo.id)), read_file(store.photo_path(photo)));
  EXPECT_EQ(store.photo_path(photo).parent_path().filename(), photo.sha256.substr(0, 2));
  EXPECT_EQ(store.photo_path(photo).extension(), ".jpg");
}

// FIPS 180-4 and its example file: the message "abc".
TEST_F(StoreTest, TheHashIsSha256) {
  EXPECT_EQ(keep("abc").sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_F(StoreTest, TheSameBytesAgainAreTheSamePhoto) {
  const auto first = keep("same"), again = keep("same", "copy of it.jpg");
  EXPECT_EQ(first.id, again.id);
  EXPECT_EQ(again.original_name, "IMG_0001.jpg");
  EXPECT_THAT(ok(store.photos()), SizeIs(1));
}

TEST_F(StoreTest, AMissingOriginalIsPutBackByImportingItAgain) {
  const auto photo = keep("same");
  fs::remove(store.photo_path(photo));
  EXPECT_EQ(code_of(store.photo_bytes(photo.id)), ErrorCode::FileMissing);
  EXPECT_THAT(ok(store.verify()).faults, SizeIs(1));
  keep("same");
  EXPECT_EQ(ok(store.photo_bytes(photo.id)), bytes_of("same"));
  write_file(store.photo_path(photo), "sane");
  const auto changed = store.photo_bytes(photo.id);
  EXPECT_EQ(code_of(changed), ErrorCode::LogbookDamaged);
  expect_clear(changed.error(), "IMG_0001.jpg");
  keep("same");
  expect_whole(store);
}

TEST_F(StoreTest, WhatCannotBeKeptLeavesNoFileBehind) {
  const auto bytes = bytes_of("picture");
  auto record = photo_record("a.jpg");
  record.width_px = 0;
  const auto refused = store.keep_photo({bytes, record});
  EXPECT_EQ(code_of(refused), ErrorCode::BadInput);
  expect_clear(refused.error(), "a.jpg");
  record = photo_record("a.gif");
  record.media_type = "image/gif";
  EXPECT_EQ(code_of(store.keep_photo({bytes, record})), ErrorCode::BadInput);
  EXPECT_EQ(code_of(store.keep_photo({Bytes{}, photo_record("a.jpg")})), ErrorCode::BadInput);
  EXPECT_TRUE(fs::is_empty(store.folder() / "photos"));
}

TEST_F(StoreTest, WhatACameraWroteBadlyIsNotKnownRatherThanRefused) {
  const auto bytes = bytes_of("picture");
  auto record = photo_record("/home/somebody/p\xFFq.jpg");
  record.taken_at = "0000-00-00T00:00:00";
  record.camera = "Maker \xFF";
  const auto photo = ok(store.keep_photo({bytes, record}));
  EXPECT_EQ(photo.original_name, "p\uFFFDq.jpg");
  EXPECT_EQ(photo.taken_at, "");
  EXPECT_EQ(photo.camera, "Maker \uFFFD");
  record.taken_at = "2026-04-12T09:30:00";
  const auto more = bytes_of("another");
  EXPECT_EQ(ok(store.keep_photo({more, record})).taken_at, "2026-04-12T09:30:00");
}

TEST_F(StoreTest, EverythingIsThereAfterClosingAndOpening) {
  const auto o = add_opening("P-03");
  add(diameter(o, add_survey("2026-04-12"), 38));
  const auto photo = keep("picture");
  store = ok(Store::create(temp.path() / "other.spile"));
  const auto again = ok(Store::open(temp.logbook()));
  EXPECT_EQ(ok(again.openings()).at(0).id, o);
  EXPECT_THAT(ok(again.measurements()), SizeIs(1));
  EXPECT_EQ(ok(again.photo_bytes(photo.id)), bytes_of("picture"));
  EXPECT_THAT(again.notes(), IsEmpty());
  expect_whole(again);
}

TEST_F(StoreTest, PathsMayHoldAnyCharacter) {
  const auto folder = temp.path() / "Jürgens Boot % ? # ' \" 船 ñ.spile";
  {
    auto odd = ok(Store::create(folder));
    ok(odd.edit("Add", [](Edit& edit) { edit.save_opening(opening("Ø-1")); }));
  }
  EXPECT_THAT(ok(ok(Store::open(folder)).openings()), SizeIs(1));
  EXPECT_THAT(ok(ok(Store::open(folder, Access::ReadOnly)).openings()), SizeIs(1));
}

}  // namespace
}  // namespace spile::db::test
