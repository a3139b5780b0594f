// Everything that can be wrong with a logbook or the disk under it: one sentence, a non-zero exit status, and
// nothing changed.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/mount.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>

#include "../app/support.hpp"
#include "runner.hpp"

namespace spile::cli::test {
namespace {

namespace fs = std::filesystem;
using app::test::draw;
using app::test::TempFolder;
using app::test::write_text;
using testing::HasSubstr;

class Trouble : public testing::Test {
 protected:
  TempFolder folder_;
  std::string logbook_ = (folder_ / "heron.spile").string();
  std::string photo_ = draw(folder_ / "a.png").string();

  void SetUp() override {
    // Closed again: the commands under test are the only ones to hold it.
    static_cast<void>(app::test::logbook_with_opening(folder_ / "heron"));
  }

  // Each way of writing to a logbook.
  std::vector<std::vector<std::string>> writes(const std::string& logbook) const {
    return {{"vessel", logbook, "--name", "Sea Otter"},
            {"opening", logbook, "S-01"},
            {"observe", logbook, "P-03", "--condition", "worn"},
            {"type", logbook, "P-03", "hole-diameter", "38 mm", "--method", "caliper"},
            {"import", logbook, photo_, "--no-measure"},
            {"undo", logbook}};
  }

  void expect_told(const std::vector<std::string>& arguments, const std::string& about) const {
    const auto ran = spile(arguments);
    EXPECT_EQ(ran.status, 1) << testing::PrintToString(arguments);
    EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
    EXPECT_THAT(ran.err, HasSubstr(about)) << testing::PrintToString(arguments);
    EXPECT_THAT(ran.out, testing::IsEmpty());
  }
};

TEST_F(Trouble, AFolderThatIsNoLogbook) {
  const auto folder = folder_ / "photos";
  fs::create_directories(folder);
  write_text(folder / "note.txt", "port side");
  for (auto arguments : writes(folder.string())) expect_told(arguments, "photos");
  expect_told({"show", folder.string()}, "photos");
  expect_told({"verify", folder.string()}, "photos");
  std::vector<std::string> left;
  for (const auto& entry : fs::directory_iterator(folder)) left.push_back(entry.path().filename().string());
  EXPECT_THAT(left, testing::ElementsAre("note.txt"));
}

TEST_F(Trouble, ALogbookThatIsNotThere) {
  for (auto arguments : writes("/nowhere/heron.spile")) expect_told(arguments, "/nowhere/heron.spile");
}

TEST_F(Trouble, ALogbookThatIsThereAlready) {
  const auto before = state_of(logbook_);
  expect_told({"new", logbook_}, "heron.spile");
  EXPECT_EQ(state_of(logbook_), before);
}

TEST_F(Trouble, ALogbookOfANewerVersion) {
  {
    SQLite::Database database(logbook_ + "/log.sqlite", SQLite::OPEN_READWRITE);
    database.exec("PRAGMA user_version = 9999");
  }
  for (auto arguments : writes(logbook_)) expect_told(arguments, "newer");
  expect_told({"show", logbook_}, "newer");
  SQLite::Database database(logbook_ + "/log.sqlite", SQLite::OPEN_READONLY);
  EXPECT_EQ(database.execAndGet("PRAGMA user_version").getInt(), 9999);
  EXPECT_EQ(database.execAndGet("SELECT count(*) FROM opening").getInt(), 1);
}

TEST_F(Trouble, ASecondWriterIsToldAndAReaderIsLetIn) {
  const auto before = state_of(logbook_);
  const auto window = app::test::must(app::Session::open(logbook_));
  for (auto arguments : writes(logbook_)) expect_told(arguments, "heron.spile");
  EXPECT_EQ(spile({"show", logbook_}).status, 0);
  EXPECT_EQ(spile({"verdict", logbook_}).status, 0);
  EXPECT_EQ(state_of(logbook_), before);
}

TEST_F(Trouble, BadPhotosAreToldOneByOneAndChangeNothing) {
  write_text(folder_ / "empty.jpg", "");
  write_text(folder_ / "text.jpg", "38 mm");
  write_text(folder_ / "cut.png", app::test::read_text(photo_).substr(0, 9000));
  const auto before = state_of(logbook_);
  const auto ran =
      spile({"import", logbook_, (folder_ / "empty.jpg").string(), (folder_ / "text.jpg").string(),
             (folder_ / "cut.png").string(), "/nowhere/a.jpg", "--survey", "2099-01-01"});
  EXPECT_EQ(ran.status, 1);
  EXPECT_EQ(std::count(ran.err.begin(), ran.err.end(), '\n'), 4) << ran.err;
  for (const auto* name : {"empty.jpg", "text.jpg", "cut.png", "/nowhere/a.jpg"})
    EXPECT_THAT(ran.err, HasSubstr(name));
  const auto shown = [&] { return spile({"show", logbook_, "--json"}).out; };
  EXPECT_EQ(before.substr(0, shown().size()), shown());  // also the survey that was begun for them is gone
  EXPECT_FALSE(fs::exists(logbook_ + "/photos/tmp"));
}

TEST_F(Trouble, ADamagedLogbook) {
  const auto whole = app::test::read_text(logbook_ + "/log.sqlite");
  write_text(logbook_ + "/log.sqlite", whole.substr(0, whole.size() / 3));
  const auto ran = spile({"show", logbook_});
  EXPECT_EQ(ran.status, 1);
  EXPECT_TRUE(is_one_sentence(ran.err)) << ran.err;
}

TEST_F(Trouble, VerifyNamesAnOriginalThatWasChanged) {
  ASSERT_EQ(spile({"import", logbook_, photo_, "--no-measure"}).status, 0);
  EXPECT_EQ(spile({"verify", logbook_}).status, 0);
  for (const auto& entry : fs::recursive_directory_iterator(logbook_ + "/photos")) {
    if (!entry.is_regular_file()) continue;
    fs::permissions(entry.path(), fs::perms::owner_write, fs::perm_options::add);
    write_text(entry.path(), "something else");
  }
  const auto ran = spile({"verify", logbook_});
  EXPECT_EQ(ran.status, 1);
  EXPECT_THAT(ran.err, HasSubstr("a.png"));
  EXPECT_THAT(ran.out, HasSubstr("not whole"));
}

// The log: the technical side of an error is kept where the XDG Base Directory Specification has state, and a
// log that cannot be written is no reason not to work.
TEST_F(Trouble, IsLoggedForWhoeverHasToFindOutWhy) {
  const auto state = folder_ / "state";
  const std::vector<std::string> arguments = {"show", (folder_ / "photos").string()};
  fs::create_directories(folder_ / "photos");
  const auto told = spile_logging_to(state, arguments);
  EXPECT_TRUE(is_one_sentence(told.err)) << told.err;
  const auto log = app::test::read_text(state / "spile/spile.log");
  EXPECT_THAT(log, HasSubstr("photos"));
  EXPECT_THAT(log, HasSubstr("error"));
  write_text(folder_ / "occupied", "a file, no folder");
  const auto again = spile_logging_to(folder_ / "occupied", arguments);
  EXPECT_EQ(again.status, told.status);
  EXPECT_EQ(again.err, told.err);
}

// A disk of its own in memory; only root may make one, and not in every container.
class SmallDisk {
 public:
  explicit SmallDisk(const fs::path& at) : at_(at) {
    fs::create_directories(at);
    mounted_ = ::mount("tmpfs", at.c_str(), "tmpfs", 0, "size=2m") == 0;
  }
  ~SmallDisk() {
    if (mounted_) ::umount2(at_.c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  [[nodiscard]] bool mounted() const { return mounted_; }
  [[nodiscard]] bool make_read_only() const {
    return ::mount("tmpfs", at_.c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, "size=2m") == 0;
  }
  // Until `left` bytes are free.
  void fill(std::uintmax_t left) const {
    const std::string block(4096, 'x');
    std::ofstream file(at_ / "filler", std::ios::binary);
    while (file.write(block.data(), static_cast<std::streamsize>(block.size())).flush()) {
    }
    file.close();
    const auto size = fs::file_size(at_ / "filler");
    fs::resize_file(at_ / "filler", size - std::min(size, left));
  }

 private:
  fs::path at_;
  bool mounted_ = false;
};

TEST_F(Trouble, AFullDisk) {
  const SmallDisk disk(folder_ / "small");
  if (!disk.mounted()) GTEST_SKIP() << "no disk can be mounted here";
  const auto logbook = (folder_ / "small/heron.spile").string();
  static_cast<void>(app::test::logbook_with_opening(logbook));
  const auto before = state_of(logbook);
  disk.fill(700 << 10);  // room to begin, none for the photo
  ASSERT_GT(fs::file_size(photo_), 700U << 10);
  const auto too_large = spile({"import", logbook, photo_, photo_, "--no-measure"});
  EXPECT_EQ(too_large.status, 1);
  EXPECT_TRUE(is_one_sentence(too_large.err)) << too_large.err;
  EXPECT_THAT(too_large.err, HasSubstr("no room left"));
  EXPECT_EQ(state_of(logbook), before);
  disk.fill(0);
  const auto import = spile({"import", logbook, photo_, "--no-measure"});
  EXPECT_EQ(import.status, 1);
  EXPECT_TRUE(is_one_sentence(import.err)) << import.err;
  EXPECT_THAT(import.err, HasSubstr("no room left"));
  const auto created = spile({"new", (folder_ / "small/tern").string()});
  EXPECT_EQ(created.status, 1);
  EXPECT_TRUE(is_one_sentence(created.err)) << created.err;
  EXPECT_FALSE(fs::exists(folder_ / "small/tern.spile"));
  const auto card = spile({"card", "--output", (folder_ / "small/card.pdf").string()});
  EXPECT_EQ(card.status, 1);
  EXPECT_FALSE(fs::exists(folder_ / "small/card.pdf"));
  fs::remove(folder_ / "small/filler");
  EXPECT_EQ(state_of(logbook), before);
  EXPECT_EQ(spile({"verify", logbook}).status, 0);
}

TEST_F(Trouble, AReadOnlyDisk) {
  const SmallDisk disk(folder_ / "small");
  if (!disk.mounted()) GTEST_SKIP() << "no disk can be mounted here";
  const auto logbook = (folder_ / "small/heron.spile").string();
  static_cast<void>(app::test::logbook_with_opening(logbook));
  const auto before = state_of(logbook);
  ASSERT_TRUE(disk.make_read_only());
  for (auto arguments : writes(logbook)) expect_told(arguments, "heron.spile");
  expect_told({"new", (folder_ / "small/tern").string()}, "tern");
  expect_told({"card", "--output", (folder_ / "small/card.pdf").string()}, "card.pdf");
  EXPECT_EQ(state_of(logbook), before);  // and it can be read
}

// The same where no disk can be mounted but file permissions count (they do not for root).
TEST_F(Trouble, AFolderThatCannotBeWritten) {
  if (::geteuid() == 0) GTEST_SKIP() << "root may write anywhere";
  const auto before = state_of(logbook_);
  for (const auto& path : {logbook_, logbook_ + "/photos", logbook_ + "/log.sqlite"})
    fs::permissions(path, fs::perms::owner_write, fs::perm_options::remove);
  for (auto arguments : writes(logbook_)) expect_told(arguments, "heron.spile");
  for (const auto& path : {logbook_, logbook_ + "/photos", logbook_ + "/log.sqlite"})
    fs::permissions(path, fs::perms::owner_write, fs::perm_options::add);
  EXPECT_EQ(state_of(logbook_), before);
}

}  // namespace
}  // namespace spile::cli::test
