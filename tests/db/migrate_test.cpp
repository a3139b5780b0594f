// The schema's history: from any older version to the newest, all or nothing, with a copy kept before.
#include "db/migrate.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <chrono>
#include <thread>

#include "db/fault.hpp"
#include "db/log_file.hpp"
#include "fixture.hpp"

namespace spile::db::test {
namespace {

using testing::IsEmpty;
using testing::SizeIs;

// A history that goes on after the shipped one, for these tests only.
std::vector<Migration> with(std::initializer_list<Migration> later) {
  std::vector<Migration> list(migrations().begin(), migrations().end());
  list.insert(list.end(), later);
  return list;
}

const int kNext = newest_version(migrations()) + 1;
const Migration kAddColour{kNext, "ALTER TABLE opening ADD COLUMN colour TEXT NOT NULL DEFAULT 'white';",
                           true};
const Migration kRebuild{
    kNext + 1,
    "CREATE TABLE survey_new (id INTEGER PRIMARY KEY AUTOINCREMENT, date TEXT NOT NULL, title TEXT NOT NULL,"
    " surveyor TEXT NOT NULL, afloat TEXT NOT NULL, notes TEXT NOT NULL, weather TEXT) STRICT;"
    "INSERT INTO survey_new SELECT *, NULL FROM survey; DROP TABLE survey;"
    "ALTER TABLE survey_new RENAME TO survey;",
    false};

void make_logbook(const fs::path& folder) {
  auto store = ok(Store::create(folder));
  ok(store.edit("Fill", [](Edit& edit) {
    const auto o = edit.save_opening(opening("P-01"));
    edit.add_measurement(diameter(o, edit.save_survey(survey("2026-04-12")), 38));
  }));
}

std::vector<fs::path> backups_of(const fs::path& folder) {
  std::vector<fs::path> files;
  if (fs::exists(folder / "backups"))
    for (const auto& entry : fs::directory_iterator(folder / "backups")) files.push_back(entry.path());
  return files;
}

std::int64_t count(SQLite::Database& db, const std::string& table) {
  return db.execAndGet("SELECT count(*) FROM " + table).getInt64();
}

TEST(Migrations, AreNumberedFromOneWithoutGaps) {
  int expected = 1;
  for (const auto& m : migrations()) EXPECT_EQ(m.version, expected++);
  EXPECT_GE(newest_version(migrations()), 1);
}

TEST(Migrations, BringAnOlderLogbookUpToDateAndKeepACopyOfIt) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto list = with({kAddColour, kRebuild});
  {
    const auto log = open_log(temp.logbook(), Access::ReadWrite, list);
    EXPECT_EQ(version_of(*log.db), kNext + 1);
    EXPECT_EQ(log.db->execAndGet("SELECT colour FROM opening").getString(), "white");
    EXPECT_EQ(count(*log.db, "survey"), 1);
    EXPECT_EQ(count(*log.db, "measurement"), 1);
    EXPECT_EQ(log.db->execAndGet("PRAGMA foreign_keys").getInt(), 1);
    EXPECT_EQ(count(*log.db, "journal"), 0) << "recorded changes of rebuilt tables no longer fit";
  }
  const auto copies = backups_of(temp.logbook());
  ASSERT_THAT(copies, SizeIs(1));
  EXPECT_THAT(copies[0].filename().string(), testing::StartsWith(fmt::format("log-format-{}-", kNext - 1)));
  SQLite::Database copy(copies[0].string(), SQLite::OPEN_READWRITE);
  EXPECT_EQ(version_of(copy), kNext - 1);
  EXPECT_EQ(count(copy, "measurement"), 1);
  EXPECT_EQ(copy.execAndGet("PRAGMA integrity_check").getString(), "ok");
}

TEST(Migrations, KeepUndoWhereTheySaySo) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto list = with({kAddColour});
  const auto log = open_log(temp.logbook(), Access::ReadWrite, list);
  EXPECT_EQ(count(*log.db, "journal"), 1);
}

TEST(Migrations, MakeNoCopyWhenThereIsNothingToDo) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  { const auto log = open_log(temp.logbook(), Access::ReadWrite, migrations()); }
  EXPECT_THAT(backups_of(temp.logbook()), IsEmpty());
}

TEST(Migrations, ThatFailLeaveTheVersionBeforeThem) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto list =
      with({kAddColour, {kNext + 1, "CREATE TABLE half (a INTEGER) STRICT; DROP TABLE no_such_table;"}});
  EXPECT_ANY_THROW((void)open_log(temp.logbook(), Access::ReadWrite, list));
  SQLite::Database db((temp.logbook() / "log.sqlite").string(), SQLite::OPEN_READWRITE);
  EXPECT_EQ(version_of(db), kNext);
  EXPECT_FALSE(db.tableExists("half"));
  EXPECT_EQ(count(db, "journal"), 1) << "what the failed one would have forgotten is still there";
  EXPECT_EQ(count(db, "measurement"), 1);
}

TEST(Migrations, ThatWouldLeaveARecordHangingAreTakenBack) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto list = with({{kNext, "DELETE FROM survey;"}});
  try {
    (void)open_log(temp.logbook(), Access::ReadWrite, list);
    ADD_FAILURE() << "it went through";
  } catch (const Fault& fault) {
    EXPECT_THAT(fault.error().what, testing::HasSubstr("measurement"));
  }
  expect_whole(ok(Store::open(temp.logbook())));
}

TEST(Migrations, ToReadOnlyHappenInMemory) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto before = read_file(temp.logbook() / "log.sqlite");
  const auto list = with({kAddColour, kRebuild});
  const auto log = open_log(temp.logbook(), Access::ReadOnly, list);
  EXPECT_EQ(version_of(*log.db), kNext + 1);
  EXPECT_EQ(log.db->execAndGet("SELECT colour FROM opening").getString(), "white");
  EXPECT_EQ(read_file(temp.logbook() / "log.sqlite"), before);
  EXPECT_THAT(backups_of(temp.logbook()), IsEmpty());
  EXPECT_ANY_THROW(log.db->exec("DELETE FROM opening"));
}

TEST(Migrations, AreRefusedByAnOlderProgramAfterwards) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  { const auto log = open_log(temp.logbook(), Access::ReadWrite, with({kAddColour})); }
  EXPECT_EQ(code_of(Store::open(temp.logbook())), ErrorCode::LogbookTooNew);
}

// ---- logbooks as earlier versions wrote them, kept for good ----
// Those of versions 2, 3 and 4 are that of version 1 brought to them, with a run and a bilge, a yard's table,
// and a camera profile.

std::vector<std::string> schema_of(const SQLite::Database& db) {
  SQLite::Statement row(db, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name");
  std::vector<std::string> schema;
  while (row.executeStep()) schema.push_back(row.getColumn(0).getString());
  return schema;
}

std::string text_of_file(const fs::path& file) {
  const auto bytes = read_file(file);
  return {bytes.begin(), bytes.end()};
}

const fs::path kData = fs::path(SPILE_SOURCE_DIR) / "tests" / "db" / "data";

void restore_version(int version, const fs::path& folder) {
  fs::create_directories(folder);
  fs::copy(kData / "photos", folder / "photos", fs::copy_options::recursive);
  SQLite::Database db((folder / "log.sqlite").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  db.exec(text_of_file(kData / fmt::format("logbook_version_{}.sql", version)));
  db.exec(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {};", kApplicationId, version));
}

class Version : public testing::TestWithParam<int> {};

TEST_P(Version, IsWhatItsFilesStillMake) {
  const TempFolder temp;
  restore_version(GetParam(), temp.logbook());
  const SQLite::Database old((temp.logbook() / "log.sqlite").string());
  SQLite::Database fresh(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  migrate(fresh, migrations().first(static_cast<std::size_t>(GetParam())));
  EXPECT_EQ(schema_of(old), schema_of(fresh)) << "a shipped schema file was edited; add a new one instead";
}

TEST_P(Version, MigratesToWhatANewLogbookIs) {
  const TempFolder temp;
  restore_version(GetParam(), temp.logbook());
  const auto old = open_log(temp.logbook(), Access::ReadWrite, migrations());
  const auto fresh = open_log((make_logbook(temp.path() / "new.spile"), temp.path() / "new.spile"),
                              Access::ReadWrite, migrations());
  EXPECT_EQ(schema_of(*old.db), schema_of(*fresh.db));
}

TEST_P(Version, StillOpensWithAllThatWasInIt) {
  const TempFolder temp;
  restore_version(GetParam(), temp.logbook());
  auto store = ok(Store::open(temp.logbook()));
  expect_whole(store);
  EXPECT_EQ(ok(store.vessel())->name, "Zwölfer");
  EXPECT_THAT(ok(store.openings()), SizeIs(3));
  EXPECT_THAT(ok(store.fittings()), SizeIs(1));
  EXPECT_THAT(ok(store.surveys()), SizeIs(2));
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(4));
  EXPECT_THAT(ok(store.measurements()), SizeIs(2));
  EXPECT_THAT(ok(store.photo_uses()), SizeIs(2));
  const auto photo = ok(store.photos()).at(0);
  EXPECT_EQ(ok(store.photo_bytes(photo.id)), bytes_of("an invented picture of a hole"));
  EXPECT_THAT(ok(store.camera_profiles()), SizeIs(GetParam() < 4 ? 0 : 1));
  if (GetParam() < 2) return;
  ASSERT_THAT(ok(store.runs()), SizeIs(1));
  EXPECT_EQ(ok(store.runs())[0].name, "galley sink");
  EXPECT_THAT(ok(store.runs())[0].parts, SizeIs(1));
  EXPECT_EQ(ok(store.bilge()).sole_litres, 900);
  if (GetParam() < 3) return;
  EXPECT_THAT(ok(store.yard_tables()), SizeIs(1));
}

// Rebuilding the table of measurements must leave what is recorded about it: every step back and forth, and
// numbers that were once given out.
TEST_P(Version, UndoesAndRedoesWhatWasDoneBefore) {
  const TempFolder temp;
  restore_version(GetParam(), temp.logbook());
  auto store = ok(Store::open(temp.logbook()));
  int steps = 0;
  while (store.undo_name()) {
    ok(store.undo());
    ++steps;
  }
  EXPECT_GE(steps, 4);
  EXPECT_THAT(ok(store.all_measurements()), IsEmpty());
  for (int i = 0; i < steps; ++i) ok(store.redo());
  EXPECT_THAT(ok(store.all_measurements()), SizeIs(4));
  expect_whole(store);
  const auto surveys = ok(store.surveys());
  const auto openings = ok(store.openings());
  ok(store.edit("Crack", [&](Edit& edit) {
    auto crack = diameter(openings[0].id, surveys[0].id, 0);
    crack.quantity = model::Quantity::CrackLength;
    EXPECT_EQ(edit.add_measurement(crack).value, 5);
  }));
}

INSTANTIATE_TEST_SUITE_P(Format, Version, testing::Values(1, 2, 3, 4));

// SQLite answers "busy" to a copy instead of throwing; a copy cut short looks like an empty logbook.
class LockedSource : public testing::Test {
 protected:
  LockedSource() {
    source_.exec("CREATE TABLE t (x); INSERT INTO t VALUES (7)");
    other_.exec("BEGIN EXCLUSIVE");
  }

  TempFolder temp_;
  const std::string file_ = (temp_.path() / "plain.sqlite").string();
  SQLite::Database source_{file_, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE};
  SQLite::Database other_{file_, SQLite::OPEN_READWRITE};
};

TEST_F(LockedSource, IsCopiedWholeOnceItIsFree) {
  std::thread frees([&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(100));
    other_.exec("COMMIT");
  });
  const auto copy = copy_in_memory(source_);
  frees.join();
  EXPECT_EQ(copy->execAndGet("SELECT x FROM t").getInt(), 7);
}

TEST_F(LockedSource, IsNotTakenForEmptyWhileItStaysLocked) {
  EXPECT_THROW(static_cast<void>(copy_in_memory(source_)), SQLite::Exception);
}

}  // namespace
}  // namespace spile::db::test
