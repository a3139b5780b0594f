// The process is killed at any instant; what it had acknowledged is there afterwards and the logbook is
// whole.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <random>
#include <set>

#include "children.hpp"
#include "fixture.hpp"

namespace spile::db::test {
namespace {

constexpr int kCrashes = 40;

// Imports, edits, undoes and redoes without end, and tells each thing once it is acknowledged for good: an
// opening is told after the redo, since a death between undo and redo rightly leaves it undone.
void work_without_end(const fs::path& folder, const Victim::Tell& tell) {
  auto store = ok(Store::open(folder));
  model::SurveyId survey_id;
  ok(store.edit("Survey", [&](Edit& edit) { survey_id = edit.save_survey(survey("2026-04-12")); }));
  tell("ready");
  for (int i = 0;; ++i) {
    Bytes bytes(20'000, static_cast<std::uint8_t>(i));
    const auto stamp = fmt::format("{} {}", ::getpid(), i);
    std::copy(stamp.begin(), stamp.end(), bytes.begin());
    const auto photo = ok(store.keep_photo({bytes, photo_record("a.jpg")}));
    tell("photo " + photo.sha256);
    const auto tag = fmt::format("{}-{}", ::getpid(), i);
    ok(store.edit("Import", [&](Edit& edit) {
      const auto o = edit.save_opening(opening(tag));
      edit.save_photo_use({{}, photo.id, survey_id, o, "", ""});
      edit.add_measurement(diameter(o, survey_id, 38));
    }));
    if (i % 3 == 0) {
      ok(store.undo());
      ok(store.redo());
    }
    tell("opening " + tag);
  }
}

struct Acknowledged {
  std::set<std::string> photos, openings;
};

void take_in(Acknowledged& all, const std::string& line) {
  if (line.starts_with("photo ")) all.photos.insert(line.substr(6));
  if (line.starts_with("opening ")) all.openings.insert(line.substr(8));
}

// Some things are waited for, so that work is done however busy the machine is; then the instant is anywhere.
void crash_once(const fs::path& folder, std::mt19937& random, Acknowledged& all) {
  Victim victim([&](const Victim::Tell& tell) { work_without_end(folder, tell); });
  ASSERT_EQ(victim.line(), "ready");
  for (int wait = std::uniform_int_distribution(0, 3)(random); wait > 0; --wait) take_in(all, victim.line());
  ::usleep(static_cast<useconds_t>(std::uniform_int_distribution(0, 8'000)(random)));
  victim.kill();
  for (auto line = victim.line(); !line.empty(); line = victim.line()) take_in(all, line);
}

void expect_all_there(const Store& store, const Acknowledged& all) {
  std::set<std::string> photos, openings;
  for (const auto& photo : ok(store.photos())) photos.insert(photo.sha256);
  for (const auto& o : ok(store.openings())) openings.insert(o.tag);
  for (const auto& photo : all.photos) EXPECT_TRUE(photos.contains(photo)) << photo;
  for (const auto& tag : all.openings) EXPECT_TRUE(openings.contains(tag)) << tag;
}

TEST(Crash, AtAnyInstantOfWorkLosesNothingAcknowledged) {
  const TempFolder temp(fast_place());
  { const auto created = ok(Store::create(temp.logbook())); }
  std::mt19937 random(20260412);
  Acknowledged all;
  for (int i = 0; i < kCrashes; ++i) {
    crash_once(temp.logbook(), random, all);
    const auto store = ok(Store::open(temp.logbook()));
    expect_all_there(store, all);
    const auto report = ok(store.verify());
    EXPECT_THAT(report.faults, testing::IsEmpty());
    for (const auto& entry : fs::recursive_directory_iterator(temp.logbook()))
      EXPECT_NE(entry.path().extension(), ".part") << "opening for writing tidies up";
    if (HasFailure()) return;
  }
  EXPECT_GE(all.photos.size(), static_cast<std::size_t>(kCrashes) / 2);
  EXPECT_GE(all.openings.size(), static_cast<std::size_t>(kCrashes) / 4);
}

TEST(Crash, WhileCreatingLeavesALogbookOrAPlaceForOne) {
  const TempFolder temp(fast_place());
  std::mt19937 random(7);
  double latest_us = 4'000;  // moved to where half of them get done, on a machine of any speed
  int whole = 0, none = 0;
  for (int i = 0; i < kCrashes; ++i) {
    const auto folder = temp.path() / fmt::format("{}.spile", i);
    {
      Victim victim([&](const Victim::Tell& tell) {
        tell("ready");
        const auto store = ok(Store::create(folder));
        ::pause();
      });
      ASSERT_EQ(victim.line(), "ready");
      ::usleep(static_cast<useconds_t>(std::uniform_real_distribution(0.0, latest_us)(random)));
    }
    const auto opened = Store::open(folder);
    const auto again = opened ? Result<Store>(fail(ErrorCode::AlreadyExists, "")) : Store::create(folder);
    EXPECT_TRUE(opened || again) << again.error().sentence();
    (opened ? whole : none) += 1;
    latest_us *= opened ? 0.7 : 1.4;
    expect_whole(ok(Store::open(folder, Access::ReadOnly)));
  }
  EXPECT_GT(whole, 0);
  EXPECT_GT(none, 0);
}

TEST(Crash, AnOriginalWithoutItsRecordIsReportedAndTakenInAgain) {
  const TempFolder temp;
  const auto bytes = bytes_of("picture");
  fs::path file;
  {
    auto store = ok(Store::create(temp.logbook()));
    const auto photo = ok(store.keep_photo({bytes, photo_record("a.jpg")}));
    file = store.photo_path(photo);
  }
  // As a crash between the file and its record would leave it, beside one that broke off in the middle.
  const auto other = temp.path() / "other.spile";
  { const auto created = ok(Store::create(other)); }
  const auto stray = other / file.lexically_relative(temp.logbook());
  fs::create_directories(stray.parent_path());
  fs::copy_file(file, stray);
  write_file(stray.parent_path() / ".half.jpg.12.1.part", "pict");
  write_file(other / "photos" / "Thumbs.db", "made by a file manager");
  {
    const auto reader = ok(Store::open(other, Access::ReadOnly));
    EXPECT_THAT(ok(reader.verify()).notes, testing::SizeIs(3));
    EXPECT_TRUE(fs::exists(stray.parent_path() / ".half.jpg.12.1.part")) << "a reader removes nothing";
  }
  auto store = ok(Store::open(other));
  EXPECT_THAT(store.notes(), testing::SizeIs(2));
  EXPECT_FALSE(fs::exists(stray.parent_path() / ".half.jpg.12.1.part"));
  EXPECT_TRUE(fs::exists(stray));
  EXPECT_TRUE(fs::exists(other / "photos" / "Thumbs.db"));
  const auto report = ok(store.verify());
  EXPECT_THAT(report.faults, testing::IsEmpty());
  EXPECT_THAT(report.notes, testing::SizeIs(2));
  ok(store.keep_photo({bytes, photo_record("a.jpg")}));
  EXPECT_THAT(ok(store.verify()).faults, testing::IsEmpty());
  EXPECT_EQ(read_file(stray), bytes);
}

}  // namespace
}  // namespace spile::db::test
