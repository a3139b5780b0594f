// The schema itself refuses wrong states, whoever writes: every statement here is raw SQL past the program.
#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "db/migrate.hpp"
#include "fixture.hpp"
#include "model/names.hpp"

namespace spile::db::test {
namespace {

class SchemaTest : public testing::Test {
 protected:
  SchemaTest() {
    db.exec("PRAGMA trusted_schema = OFF");
    migrate(db, migrations());
    db.exec("INSERT INTO opening (tag, side, construction, notes) VALUES ('P-01', 'port', 'unknown', '')");
    db.exec("INSERT INTO opening (tag, side, construction, notes) VALUES ('P-02', 'port', 'unknown', '')");
    db.exec(
        "INSERT INTO survey (date, title, surveyor, afloat, notes) VALUES ('2026-04-12', '', '', 'ashore', "
        "'')");
    db.exec(
        fmt::format("INSERT INTO photo (sha256, original_name, media_type, size_bytes, width_px, height_px, "
                    "exif_orientation, imported_at_utc) VALUES ('{}', 'a.jpg', 'image/jpeg', 1, 1, 1, 1, "
                    "'2026-04-12T09:30:00Z')",
                    std::string(64, 'a')));
    measure();
  }

  void measure() {
    db.exec(
        "INSERT INTO measurement (opening_id, survey_id, quantity, label, value, u95, method, instrument, "
        "note, "
        "made_at_utc) VALUES (1, 1, 'hole-diameter', '', 38, 0.1, 'caliper', '', '', "
        "'2026-04-12T09:30:00Z')");
  }

  // One column of the one row set to `value`; the rest stays good, so only that can be what is refused.
  void refuses(const std::string& table, const std::string& column, const std::string& value) {
    expect_refused(fmt::format("UPDATE {} SET {} = {} WHERE rowid = 1", table, column, value));
  }
  void accepts(const std::string& table, const std::string& column, const std::string& value) {
    EXPECT_NO_THROW(db.exec(fmt::format("UPDATE {} SET {} = {} WHERE rowid = 1", table, column, value)))
        << table << " " << column << " " << value;
  }
  void expect_refused(const std::string& sql) {
    try {
      db.exec(sql);
      ADD_FAILURE() << "accepted: " << sql;
    } catch (const SQLite::Exception& e) {
      EXPECT_EQ(e.getErrorCode(), 19) << sql << ": " << e.what();  // SQLITE_CONSTRAINT
    }
  }
  // A measurement with `columns` = `values` in place of the good ones.
  std::string measurement(const std::string& quantity, const std::string& label, const std::string& value,
                          const std::string& u95 = "0.1", const std::string& method = "'caliper'",
                          const std::string& more = "", const std::string& more_values = "") {
    return fmt::format(
        "INSERT INTO measurement (opening_id, survey_id, quantity, label, value, u95, method, instrument, "
        "note, made_at_utc{}) VALUES (1, 1, '{}', '{}', {}, {}, {}, '', '', '2026-04-12T09:30:00Z'{})",
        more, quantity, label, value, u95, method, more_values);
  }

  SQLite::Database db{":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE};
};

template <class E>
std::vector<std::string> keys() {
  std::vector<std::string> all;
  for (const auto& n : model::names<E>()) all.push_back(fmt::format("'{}'", n.key));
  return all;
}

TEST_F(SchemaTest, KnowsEveryWordOfTheModelAndNoOther) {
  db.exec(
      "INSERT INTO vessel (name, type, construction, loaded_sinkage_mm, built, notes) VALUES ('', 'power', "
      "'metal', 0, '', '')");
  db.exec(
      "INSERT INTO observation (opening_id, survey_id, seen, condition, waterline, valve, backing, hose, "
      "notes) VALUES "
      "(1, 1, 'looked', 'sound', 'above', 'none', 'none', '', '')");
  const std::vector<std::tuple<std::string, std::string, std::vector<std::string>>> columns{
      {"vessel", "type", keys<model::VesselType>()},
      {"vessel", "construction", keys<model::HullConstruction>()},
      {"opening", "side", keys<model::Side>()},
      {"opening", "construction", keys<model::HullConstruction>()},
      {"survey", "afloat", keys<model::Afloat>()},
      {"observation", "seen", keys<model::Seen>()},
      {"observation", "condition", keys<model::Condition>()},
      {"observation", "waterline", keys<model::Waterline>()},
      {"observation", "valve", keys<model::ValveState>()},
      {"observation", "backing", keys<model::Backing>()}};
  for (const auto& [table, column, words] : columns) {
    for (const auto& word : words) accepts(table, column, word);
    for (const auto* other : {"''", "'Other'", "NULL", "1"}) refuses(table, column, other);
  }
  for (const auto& n : model::names<model::Quantity>())
    EXPECT_NO_THROW(db.exec(
        measurement(std::string(n.key), n.value == model::Quantity::LayerThickness ? "core" : "", "5")));
  for (const auto& n : model::names<model::Method>())
    EXPECT_NO_THROW(db.exec(
        measurement("hole-diameter", "", "5", "0.1", fmt::format("'{}'", n.key), ", photo_id", ", 1")));
  expect_refused(measurement("circumference", "", "5"));
  expect_refused(measurement("hole-diameter", "", "5", "0.1", "'guess'"));
}

TEST_F(SchemaTest, HoldsOneVessel) {
  const std::string vessel =
      "INSERT INTO vessel (id, name, type, construction, loaded_sinkage_mm, built, notes) VALUES ({}, '', "
      "'power', 'metal', 0, '', '')";
  expect_refused(fmt::format(fmt::runtime(vessel), 2));
  EXPECT_NO_THROW(db.exec(fmt::format(fmt::runtime(vessel), 1)));
  expect_refused(fmt::format(fmt::runtime(vessel), 1));
  for (const auto* length : {"0", "-1", "100001", "9e999"}) refuses("vessel", "length_mm", length);
  for (const auto* heel : {"-1", "90.5"}) refuses("vessel", "heel_deg", heel);
  refuses("vessel", "loaded_sinkage_mm", "-1");
  refuses("vessel", "loaded_sinkage_mm", "NULL");
  accepts("vessel", "heel_deg", "NULL");
}

TEST_F(SchemaTest, RefusesAnOpeningThatCannotBe) {
  for (const auto* tag : {"''", "' P-01'", "'P-02'", "'p-02'", "NULL"}) refuses("opening", "tag", tag);
  refuses("opening", "tag", "'" + std::string(41, 'x') + "'");
  refuses("opening", "half_breadth_mm", "-0.1");
  refuses("opening", "height_mm", "20001");
  refuses("opening", "height_mm", "'high'");
  refuses("opening", "service", "''");
}

TEST_F(SchemaTest, RefusesADayOrTimeThatIsNone) {
  for (const auto* date : {"''", "'2026-13-01'", "'2026-02-29'", "'2026-02-30'", "'12.4.2026'", "'2026-4-12'",
                           "'2026-04-12T00:00'", "'now'", "NULL"})
    refuses("survey", "date", date);
  accepts("survey", "date", "'2024-02-29'");
  for (const auto* time : {"'2026-04-12T09:30:00'", "'2026-04-12 09:30:00Z'", "'2026-04-31T09:30:00Z'",
                           "'2026-04-12T24:30:00Z'", "''", "'now'"})
    refuses("measurement", "withdrawn_at_utc", time);
  accepts("measurement", "withdrawn_at_utc", "'2026-04-12T23:59:59Z'");
}

TEST_F(SchemaTest, HoldsOneFittingAndOneObservationOfASurvey) {
  const std::string fitting =
      "INSERT INTO fitting (opening_id, nominal_size, fitted, notes) VALUES (1, '', '', '')";
  EXPECT_NO_THROW(db.exec(fitting));
  expect_refused(fitting);
  const std::string seen =
      "INSERT INTO observation (opening_id, survey_id, seen, condition, waterline, valve, backing, hose, "
      "notes) VALUES "
      "(1, 1, 'looked', 'sound', 'above', 'none', 'none', '', '')";
  EXPECT_NO_THROW(db.exec(seen));
  expect_refused(seen);
  for (const auto* mm : {"0", "-3", "1001"}) refuses("observation", "backing_thickness_mm", mm);
}

TEST_F(SchemaTest, RefusesFindingsClipsAndRoomThatCannotBe) {
  EXPECT_NO_THROW(
      db.exec("INSERT INTO observation (opening_id, survey_id, seen, condition, waterline, valve, backing, "
              "hose, notes) "
              "VALUES (1, 1, 'looked', 'sound', 'above', 'none', 'none', '', '')"));
  for (const auto* words : {"' weeping'", "'weeping  crazing'", "'Weeping'", "'a,b'", "NULL"})
    refuses("observation", "findings", words);
  accepts("observation", "findings", "'pink-metal weeping'");
  for (const auto* clips : {"-1", "1.5", "10"}) refuses("observation", "clips", clips);
  refuses("observation", "plug", "'lost'");
  refuses("observation", "bonding_ohm", "-0.1");
  refuses("opening", "reach", "'by magic'");
  for (const auto* column : {"hull_radius_mm", "frame_mm", "clear_depth_mm", "clear_width_mm"})
    refuses("opening", column, "0");
}

TEST_F(SchemaTest, RefusesAPhotoThatCannotBe) {
  const auto photo = [](const std::string& sha, const std::string& name, const std::string& type, int bytes,
                        int width, int orientation, const std::string& taken) {
    return fmt::format(
        "INSERT INTO photo (sha256, original_name, media_type, size_bytes, width_px, height_px, "
        "exif_orientation, taken_at, imported_at_utc) VALUES ('{}', '{}', '{}', {}, {}, 1, {}, {}, "
        "'2026-04-12T09:30:00Z')",
        sha, name, type, bytes, width, orientation, taken);
  };
  const std::string sha(64, 'b'), jpeg = "image/jpeg";
  expect_refused(photo(std::string(64, 'a'), "a.jpg", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(std::string(63, 'b'), "a.jpg", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(std::string(64, 'B'), "a.jpg", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(std::string(64, 'g'), "a.jpg", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(sha, "/tmp/a.jpg", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(sha, "", jpeg, 1, 1, 1, "NULL"));
  expect_refused(photo(sha, "a.gif", "image/gif", 1, 1, 1, "NULL"));
  expect_refused(photo(sha, "a.jpg", jpeg, 0, 1, 1, "NULL"));
  expect_refused(photo(sha, "a.jpg", jpeg, 1, 0, 1, "NULL"));
  expect_refused(photo(sha, "a.jpg", jpeg, 1, 1, 9, "NULL"));
  expect_refused(photo(sha, "a.jpg", jpeg, 1, 1, 1, "''"));
  expect_refused(photo(sha, "a.jpg", jpeg, 1, 1, 1, "'2026-02-30T09:00:00'"));
  EXPECT_NO_THROW(db.exec(photo(sha, "a.jpg", jpeg, 1, 1, 8, "'2026-02-28T09:00:00'")));
  refuses("photo", "camera", "'other'");
  expect_refused("DELETE FROM photo");
}

TEST_F(SchemaTest, RefusesANumberWithoutItsUncertainty) {
  for (const auto* u95 : {"0", "-0.1", "NULL", "9e999"})
    expect_refused(measurement("hole-diameter", "", "38", u95));
  for (const auto* value : {"0", "-1", "NULL", "9e999", "100001", "'thick'"})
    expect_refused(measurement("hole-diameter", "", value));
  EXPECT_NO_THROW(db.exec(measurement("edge-damage", "", "0")));
  EXPECT_NO_THROW(db.exec(measurement("hole-ovality", "", "0")));
  expect_refused(measurement("hole-ovality", "", "201"));
  EXPECT_NO_THROW(db.exec(measurement("moisture-reading", "", "-3")));
  for (const auto* quantity : {"crack-length", "stain-area"}) {
    EXPECT_NO_THROW(db.exec(measurement(quantity, "", "0")));
    expect_refused(measurement(quantity, "", "-1"));
  }
  expect_refused(measurement("crack-length", "", "100001"));
}

TEST_F(SchemaTest, ALayerIsNamedAndNothingElseIs) {
  expect_refused(measurement("layer-thickness", "", "1"));
  expect_refused(measurement("layer-thickness", "paint", "1"));
  expect_refused(measurement("hole-diameter", "core", "1"));
  EXPECT_NO_THROW(db.exec(measurement("layer-thickness", "gelcoat", "0.6")));
}

TEST_F(SchemaTest, WhatWasSeenInAPhotoNamesThePhoto) {
  expect_refused(measurement("hole-diameter", "", "38", "0.1", "'photo-auto'"));
  expect_refused(measurement("hole-diameter", "", "38", "0.1", "'caliper'", ", trace_json", ", '{\"a\":1}'"));
  expect_refused(
      measurement("hole-diameter", "", "38", "0.1", "'caliper'", ", photo_id, trace_json", ", 1, 'rim'"));
  expect_refused(measurement("hole-diameter", "", "38", "0.1", "'photo-auto'", ", photo_id", ", 99"));
  EXPECT_NO_THROW(db.exec(measurement("hole-diameter", "", "38", "0.1", "'photo-auto'",
                                      ", photo_id, trace_json", ", 1, '{\"a\":1}'")));
}

TEST_F(SchemaTest, ACorrectionFitsWhatItCorrects) {
  const auto correction = [](int opening, const char* quantity, const char* of) {
    return fmt::format(
        "INSERT INTO measurement (opening_id, survey_id, quantity, label, value, u95, method, instrument, "
        "note, made_at_utc, supersedes) VALUES ({}, 1, '{}', '', 38, 0.1, 'caliper', '', '', "
        "'2026-04-12T09:30:00Z', {})",
        opening, quantity, of);
  };
  expect_refused(correction(2, "hole-diameter", "1"));
  expect_refused(correction(1, "bore-diameter", "1"));
  expect_refused(correction(1, "hole-diameter", "(SELECT max(id) + 1 FROM measurement)"));
  expect_refused(correction(1, "hole-diameter", "0"));
  EXPECT_NO_THROW(db.exec(correction(1, "hole-diameter", "1")));
  expect_refused(correction(1, "hole-diameter", "1"));
}

TEST_F(SchemaTest, AMeasurementIsNeverEdited) {
  for (const auto* change : {"value = 39", "u95 = 0.2", "note = 'better'", "opening_id = 2", "label = 'x'",
                             "method = 'tape'", "made_at_utc = '2020-01-01T00:00:00Z'", "supersedes = 5"})
    expect_refused(fmt::format("UPDATE measurement SET {} WHERE id = 1", change));
  EXPECT_NO_THROW(db.exec("INSERT INTO budget_term VALUES (1, 0, 'scale', 0.03)"));
  expect_refused("UPDATE budget_term SET u = 0.01");
  expect_refused("INSERT INTO budget_term VALUES (1, 1, 'feel', -0.03)");
  expect_refused("INSERT INTO budget_term VALUES (1, 1, '', 0.03)");
  expect_refused("INSERT INTO budget_term VALUES (1, 0, 'again', 0.03)");
  expect_refused("INSERT INTO budget_term VALUES (99, 0, 'of nothing', 0.03)");
}

TEST_F(SchemaTest, NothingHangsInTheAir) {
  for (const auto* sql :
       {"DELETE FROM opening WHERE id = 1", "DELETE FROM survey",
        "INSERT INTO photo_use (photo_id, survey_id, caption, finding) VALUES (9, 1, '', '')",
        "INSERT INTO photo_use (photo_id, survey_id, opening_id, caption, finding) VALUES (1, 1, 9, '', '')",
        "INSERT INTO fitting (opening_id, nominal_size, fitted, notes) VALUES (9, '', '', '')"})
    expect_refused(sql);
}

TEST_F(SchemaTest, APhotoIsFiledOnceInAPlace) {
  const std::string unfiled =
      "INSERT INTO photo_use (photo_id, survey_id, caption, finding) VALUES (1, 1, '', '')";
  const std::string filed =
      "INSERT INTO photo_use (photo_id, survey_id, opening_id, caption, finding) VALUES (1, 1, {}, '', '')";
  EXPECT_NO_THROW(db.exec(unfiled));
  expect_refused(unfiled);
  EXPECT_NO_THROW(db.exec(fmt::format(fmt::runtime(filed), 1)));
  expect_refused(fmt::format(fmt::runtime(filed), 1));
  EXPECT_NO_THROW(db.exec(fmt::format(fmt::runtime(filed), 2)));
}

TEST_F(SchemaTest, TheJournalIsInOrder) {
  const std::string entry =
      "INSERT INTO journal (name, made_at_utc, state) VALUES ({}, '2026-04-12T09:30:00Z', {})";
  EXPECT_NO_THROW(db.exec(fmt::format(fmt::runtime(entry), "'Add'", "'done'")));
  expect_refused(fmt::format(fmt::runtime(entry), "' '", "'done'"));
  expect_refused(fmt::format(fmt::runtime(entry), "'Add'", "'perhaps'"));
  expect_refused("INSERT INTO journal_step VALUES (1, 0, x'')");
  expect_refused("INSERT INTO journal_step VALUES (7, 0, x'00')");
  expect_refused("INSERT INTO journal_step VALUES (1, -1, x'00')");
}

TEST_F(SchemaTest, IsStrictEverywhere) {
  SQLite::Statement table(
      db, "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'");
  int tables = 0;
  for (; table.executeStep(); ++tables)
    EXPECT_EQ(table.getColumn(1).getInt(), 1) << table.getColumn(0).getString();
  EXPECT_GE(tables, 14);
}

TEST(Settings, AreThoseThatKeepALogbookSafe) {
  const TempFolder temp;
  const auto store = ok(Store::create(temp.logbook()));
  SQLite::Database db((temp.logbook() / "log.sqlite").string());
  EXPECT_EQ(db.execAndGet("PRAGMA journal_mode").getString(), "wal");
  EXPECT_EQ(db.execAndGet("PRAGMA application_id").getInt(), kApplicationId);
  EXPECT_EQ(db.execAndGet("PRAGMA user_version").getInt(), newest_version(migrations()));
}

}  // namespace
}  // namespace spile::db::test
