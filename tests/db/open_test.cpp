// Creating and opening: what is refused, in which words, and that it is left as it was.
#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <map>

#include "children.hpp"
#include "fixture.hpp"

namespace spile::db::test {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

// Every file below the folder with its contents, to see that nothing was touched.
std::map<std::string, Bytes> contents_of(const fs::path& folder) {
  std::map<std::string, Bytes> contents;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    const auto name = entry.path().lexically_relative(folder).string();
    contents[name] = entry.is_regular_file() ? read_file(entry.path()) : Bytes{};
  }
  return contents;
}

void make_logbook(const fs::path& folder, const std::string& tag = "P-01") {
  auto store = ok(Store::create(folder));
  ok(store.edit("Add " + tag, [&](Edit& edit) { edit.save_opening(opening(tag)); }));
}

void expect_refused(const fs::path& folder, ErrorCode code, std::string_view names) {
  for (const auto access : {Access::ReadWrite, Access::ReadOnly}) {
    const auto before = fs::is_directory(folder) ? contents_of(folder) : std::map<std::string, Bytes>{};
    const auto refused = Store::open(folder, access);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, code) << refused.error().sentence();
    expect_clear(refused.error(), names);
    EXPECT_THAT(refused.error().what, HasSubstr(folder.filename().string()));
    EXPECT_TRUE(!fs::is_directory(folder) || contents_of(folder) == before);
  }
}

TEST(Open, AFolderThatIsNotThere) {
  const TempFolder temp;
  expect_refused(temp.logbook(), ErrorCode::FileMissing, "no logbook");
  EXPECT_TRUE(fs::is_empty(temp.path()));
}

TEST(Open, AFileInsteadOfAFolder) {
  const TempFolder temp;
  write_file(temp.logbook(), "hello");
  expect_refused(temp.logbook(), ErrorCode::NotALogbook, "a file, not a folder");
}

TEST(Open, AnyOtherFolder) {
  const TempFolder temp;
  fs::create_directory(temp.logbook());
  write_file(temp.logbook() / "holiday.txt", "sea");
  expect_refused(temp.logbook(), ErrorCode::NotALogbook, "log.sqlite is missing");
}

TEST(Open, ADatabaseOfAnotherProgram) {
  const TempFolder temp;
  fs::create_directory(temp.logbook());
  SQLite::Database((temp.logbook() / "log.sqlite").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
      .exec("CREATE TABLE tide (height REAL)");
  expect_refused(temp.logbook(), ErrorCode::NotALogbook, "belongs to another program");
}

TEST(Open, ALogThatIsNotADatabaseIsDamageWherePhotosAre) {
  const TempFolder temp;
  fs::create_directory(temp.logbook());
  write_file(temp.logbook() / "log.sqlite", std::string(5000, 'x'));
  expect_refused(temp.logbook(), ErrorCode::NotALogbook, "not a database");
  fs::create_directory(temp.logbook() / "photos");
  expect_refused(temp.logbook(), ErrorCode::LogbookDamaged, "not a database");
}

TEST(Open, AnEmptyLog) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  write_file(temp.logbook() / "log.sqlite", "");
  expect_refused(temp.logbook(), ErrorCode::LogbookDamaged, "empty, 0 bytes");
}

TEST(Open, ALogThatIsMissing) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  fs::remove(temp.logbook() / "log.sqlite");
  expect_refused(temp.logbook(), ErrorCode::LogbookDamaged, "missing");
}

TEST(Open, ALogThatWasCutShort) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto file = temp.logbook() / "log.sqlite";
  fs::resize_file(file, fs::file_size(file) - 4096 * 3);
  for (const auto access : {Access::ReadWrite, Access::ReadOnly})
    EXPECT_EQ(code_of(Store::open(temp.logbook(), access)), ErrorCode::LogbookDamaged);
  fs::resize_file(file, 300);
  for (const auto access : {Access::ReadWrite, Access::ReadOnly})
    EXPECT_EQ(code_of(Store::open(temp.logbook(), access)), ErrorCode::LogbookDamaged);
}

TEST(Open, APageThatWasOverwritten) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto file = temp.logbook() / "log.sqlite";
  const auto pages = fs::file_size(file) / 4096;
  int damaged = 0;
  for (std::uintmax_t page = 1; page < pages; ++page) {
    const auto good = read_file(file);
    std::fstream out(file, std::ios::binary | std::ios::in | std::ios::out);
    out.seekp(static_cast<std::streamoff>(page * 4096));
    out << std::string(4096, '\x5A');
    out.close();
    const auto bad = read_file(file);
    const auto refused = Store::open(temp.logbook());
    EXPECT_EQ(code_of(refused), ErrorCode::LogbookDamaged) << "page " << page;
    expect_clear(refused.error(), "damaged");
    EXPECT_EQ(read_file(file), bad);
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(good.data()), static_cast<std::streamsize>(good.size()));
    ++damaged;
  }
  EXPECT_GT(damaged, 10);
  expect_whole(ok(Store::open(temp.logbook())));
}

TEST(Open, ALogbookOfANewerProgram) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  {
    // Still in the -wal: the file's own header does not know yet.
    SQLite::Database db((temp.logbook() / "log.sqlite").string(), SQLite::OPEN_READWRITE);
    db.exec("PRAGMA wal_autocheckpoint = 0");
    db.exec("PRAGMA user_version = 999");
    EXPECT_EQ(code_of(Store::open(temp.logbook())), ErrorCode::LogbookTooNew);
    EXPECT_EQ(code_of(Store::open(temp.logbook(), Access::ReadOnly)), ErrorCode::LogbookTooNew);
  }
  expect_refused(temp.logbook(), ErrorCode::LogbookTooNew, "format 999");
}

TEST(Create, WhereSomethingIsAlready) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto before = contents_of(temp.path());
  const auto refused = Store::create(temp.logbook());
  EXPECT_EQ(code_of(refused), ErrorCode::AlreadyExists);
  expect_clear(refused.error(), "Test boat.spile");
  EXPECT_EQ(contents_of(temp.path()), before);
  const auto other = temp.path() / "letters";
  fs::create_directory(other);
  write_file(other / "a.txt", "dear");
  EXPECT_EQ(code_of(Store::create(other)), ErrorCode::AlreadyExists);
  EXPECT_EQ(code_of(Store::create(other / "a.txt")), ErrorCode::AlreadyExists);
  EXPECT_THAT(contents_of(other), SizeIs(1));
}

TEST(Create, InAnEmptyFolder) {
  const TempFolder temp;
  fs::create_directory(temp.logbook());
  make_logbook(temp.logbook());
  EXPECT_THAT(ok(ok(Store::open(temp.logbook())).openings()), SizeIs(1));
}

TEST(Create, WhereThereIsNoFolderAbove) {
  const TempFolder temp;
  const auto refused = Store::create(temp.path() / "nowhere" / "a.spile");
  EXPECT_EQ(code_of(refused), ErrorCode::FileMissing);
  expect_clear(refused.error(), "a.spile");
  EXPECT_TRUE(fs::is_empty(temp.path()));
}

TEST(Create, MakesNothingButWhatALogbookIs) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  std::vector<std::string> names;
  for (const auto& [name, contents] : contents_of(temp.logbook())) names.push_back(name);
  EXPECT_THAT(names, testing::ElementsAre("log.sqlite", "photos", "writer.lock"));
  EXPECT_TRUE(fs::is_empty(temp.logbook() / "writer.lock"));
}

// ---- two programs at once ----

std::string code_number(ErrorCode code) {
  return std::to_string(static_cast<int>(code));
}

TEST(Writers, ASecondProcessIsToldWhoHasItAndMayRead) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  Victim other([&](const Victim::Tell& tell) {
    auto store = ok(Store::open(temp.logbook()));
    ok(store.edit("Add P-02", [](Edit& edit) { edit.save_opening(opening("P-02")); }));
    tell("ready");
    for (int i = 0; ok(store.vessel()) || i < 10000; ++i) {
      model::Vessel v;
      v.name = fmt::format("name {}", i);
      ok(store.edit("Name", [&](Edit& edit) { edit.save_vessel(v); }));
    }
  });
  ASSERT_EQ(other.line(), "ready");
  const auto refused = Store::open(temp.logbook());
  EXPECT_EQ(code_of(refused), ErrorCode::LogbookBusy);
  expect_clear(refused.error(), "Test boat.spile");
  EXPECT_THAT(refused.error().what, HasSubstr(fmt::format("process {} on ", other.process())));
  EXPECT_THAT(refused.error().remedy, HasSubstr("read only"));
  {
    const auto reader = ok(Store::open(temp.logbook(), Access::ReadOnly));
    EXPECT_THAT(ok(reader.openings()), SizeIs(2));
    const auto name = ok(reader.vessel()).value_or(model::Vessel{}).name;
    for (int i = 0; i < 1000 && ok(reader.vessel()).value_or(model::Vessel{}).name == name; ++i)
      ::usleep(1000);
    EXPECT_NE(ok(reader.vessel()).value_or(model::Vessel{}).name, name)
        << "a reader sees what the writer does";
    expect_whole(reader);
  }
  other.kill();
  auto mine = ok(Store::open(temp.logbook()));
  EXPECT_THAT(ok(mine.openings()), SizeIs(2)) << "a crash leaves no lock";
  expect_whole(mine);
}

TEST(Writers, AReaderMayHoldOnToOneState) {
  const TempFolder temp;
  auto writer = ok(Store::create(temp.logbook()));
  const auto reader = ok(Store::open(temp.logbook(), Access::ReadOnly));
  ok(reader.in_one_view([&] {
    EXPECT_THAT(ok(reader.openings()), IsEmpty());
    ok(writer.edit("Add P-01", [](Edit& edit) { edit.save_opening(opening("P-01")); }));
    EXPECT_THAT(ok(reader.openings()), IsEmpty());
    ok(reader.in_one_view([&] { EXPECT_THAT(ok(reader.openings()), IsEmpty()); }));
  }));
  EXPECT_THAT(ok(reader.openings()), SizeIs(1));
  const auto failed = reader.in_one_view([] { throw std::runtime_error("no more paper"); });
  EXPECT_EQ(code_of(failed), ErrorCode::Internal);
  EXPECT_THAT(ok(reader.openings()), SizeIs(1));
}

TEST(Writers, LeaveAllInTheLogWhenTheyCloseBeforeAReader) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  const auto reader = ok(Store::open(temp.logbook(), Access::ReadOnly));
  {
    auto writer = ok(Store::open(temp.logbook()));
    ok(writer.edit("Add P-02", [](Edit& edit) { edit.save_opening(opening("P-02")); }));
    ASSERT_GT(fs::file_size(temp.logbook() / "log.sqlite-wal"), 0U);
  }
  EXPECT_EQ(fs::file_size(temp.logbook() / "log.sqlite-wal"), 0U);
  EXPECT_THAT(ok(reader.openings()), SizeIs(2));
}

TEST(Writers, StoresOfOneProcessShareTheLock) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  auto a = ok(Store::open(temp.logbook()));
  {
    auto b = ok(Store::open(temp.logbook()));
    ok(b.edit("Add P-02", [](Edit& edit) { edit.save_opening(opening("P-02")); }));
  }
  EXPECT_THAT(ok(a.openings()), SizeIs(2));
  ok(a.undo());
  const auto elsewhere = in_child([&] { return code_number(code_of(Store::open(temp.logbook()))); });
  EXPECT_EQ(elsewhere, code_number(ErrorCode::LogbookBusy)) << "closing one of two must not let go";
  a = ok(Store::create(temp.path() / "other.spile"));
  EXPECT_EQ(in_child([&] { return std::string(Store::open(temp.logbook()) ? "opened" : "refused"); }),
            "opened");
}

TEST(Writers, NothingCanBeChangedThroughAReader) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  auto reader = ok(Store::open(temp.logbook(), Access::ReadOnly));
  const auto bytes = bytes_of("picture");
  const auto refused = reader.edit("Add", [](Edit& edit) { edit.save_opening(opening("P-02")); });
  EXPECT_EQ(code_of(refused), ErrorCode::StorageReadOnly);
  expect_clear(refused.error(), "read only");
  EXPECT_EQ(code_of(reader.undo()), ErrorCode::StorageReadOnly);
  EXPECT_EQ(code_of(reader.redo()), ErrorCode::StorageReadOnly);
  EXPECT_EQ(code_of(reader.keep_photo({bytes, photo_record("a.jpg")})), ErrorCode::StorageReadOnly);
  EXPECT_EQ(reader.undo_name(), "Add P-01");
  EXPECT_THAT(ok(reader.openings()), SizeIs(1));
}

// ---- no right to write ----

void forbid_writing(const fs::path& folder) {
  fs::permissions(folder.parent_path(), fs::perms(0755));
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    fs::permissions(entry.path(), fs::perms(entry.is_directory() ? 0555 : 0444));
  fs::permissions(folder, fs::perms(0555));
}

void allow_writing(const fs::path& folder) {
  fs::permissions(folder, fs::perms(0755));
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_directory()) fs::permissions(entry.path(), fs::perms(0755));
}

std::string told(const Error& error) {
  return code_number(error.code) + " " + error.sentence();
}

template <class T>
std::string told(const Result<T>& result) {
  return result ? "done" : told(result.error());
}

TEST(NoRights, AForbiddenFolderIsReadButNotWritten) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  forbid_writing(temp.logbook());
  const auto before = contents_of(temp.logbook());
  const auto writing = in_child_without_rights([&] { return told(Store::open(temp.logbook())); });
  EXPECT_THAT(writing, testing::StartsWith(code_number(ErrorCode::StorageReadOnly) + " "));
  EXPECT_THAT(writing, HasSubstr("cannot be written to"));
  const auto reading = in_child_without_rights([&] {
    const auto store = ok(Store::open(temp.logbook(), Access::ReadOnly));
    return ok(store.openings()).at(0).tag + fmt::format(" {}", ok(store.verify()).faults.size());
  });
  EXPECT_EQ(reading, "P-01 0");
  EXPECT_EQ(contents_of(temp.logbook()), before);
  allow_writing(temp.logbook());
}

TEST(NoRights, WhatACrashLeftUnmergedIsReadTooInAForbiddenFolder) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  Victim crash([&](const Victim::Tell& tell) {
    auto store = ok(Store::open(temp.logbook()));
    ok(store.edit("Add P-02", [](Edit& edit) { edit.save_opening(opening("P-02")); }));
    tell("saved");
    ::pause();
  });
  ASSERT_EQ(crash.line(), "saved");
  crash.kill();
  ASSERT_GT(fs::file_size(temp.logbook() / "log.sqlite-wal"), 0U);
  fs::remove(temp.logbook() / "log.sqlite-shm");
  forbid_writing(temp.logbook());
  const auto before = contents_of(temp.logbook());
  const auto reading = in_child_without_rights([&] {
    return std::to_string(ok(ok(Store::open(temp.logbook(), Access::ReadOnly)).openings()).size());
  });
  EXPECT_EQ(reading, "2");
  EXPECT_EQ(contents_of(temp.logbook()), before);
  allow_writing(temp.logbook());
}

TEST(NoRights, NothingIsCreatedWhereWritingIsForbidden) {
  const TempFolder temp;
  fs::permissions(temp.path(), fs::perms(0555));
  const auto refused = in_child_without_rights([&] { return told(Store::create(temp.logbook())); });
  EXPECT_THAT(refused, testing::StartsWith(code_number(ErrorCode::StorageReadOnly) + " "));
  fs::permissions(temp.path(), fs::perms(0755));
  EXPECT_TRUE(fs::is_empty(temp.path()));
}

TEST(NoRights, AFolderThatMayNotBeLookedIntoSaysSo) {
  const TempFolder temp;
  make_logbook(temp.logbook());
  fs::permissions(temp.path(), fs::perms(0755));
  fs::permissions(temp.logbook(), fs::perms(0));
  const auto refused =
      in_child_without_rights([&] { return told(Store::open(temp.logbook(), Access::ReadOnly)); });
  fs::permissions(temp.logbook(), fs::perms(0755));
  EXPECT_THAT(refused, testing::StartsWith(code_number(ErrorCode::FileUnreadable) + " "));
  EXPECT_THAT(refused, HasSubstr("permission"));
}

}  // namespace
}  // namespace spile::db::test
