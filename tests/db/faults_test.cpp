// A disk that is full or read-only: nothing acknowledged is lost, nothing half-done is left, and it is said
// plainly.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>

#include "children.hpp"
#include "fixture.hpp"

namespace spile::db::test {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

// What a child found wrong, collected as text because its own assertions would be lost.
class Findings {
 public:
  void expect(bool condition, const std::string& what) {
    if (!condition) text_ += what + "; ";
  }
  [[nodiscard]] std::string text() const { return text_.empty() ? "fine" : text_; }

 private:
  std::string text_;
};

Bytes picture(int number, std::size_t size) {
  Bytes bytes(size);
  for (std::size_t i = 0; i < size; ++i)
    bytes[i] = static_cast<std::uint8_t>((i * 31 + static_cast<std::size_t>(number) * 7 + i / 251) & 0xFFU);
  return bytes;
}

int count_unfinished(const fs::path& folder) {
  int n = 0;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.path().extension() == ".part") ++n;
  return n;
}

void check_full(Findings& found, const Error& error) {
  found.expect(error.code == ErrorCode::StorageFull,
               "should say that the disk is full: " + error.sentence() + error.detail);
  found.expect(error.what.find("no room left") != std::string::npos, "unclear: " + error.what);
  found.expect(error.what.find(".spile") != std::string::npos, "names no logbook: " + error.what);
  found.expect(!error.remedy.empty(), "no remedy");
}

std::string import_until_full(const std::string& disk) {
  Findings found;
  const auto folder = fs::path(disk) / "a.spile";
  auto store = ok(Store::create(folder));
  std::vector<model::Photo> kept;
  for (;;) {
    const auto bytes = picture(static_cast<int>(kept.size()), 100'000);
    const auto photo = store.keep_photo({bytes, photo_record("a.jpg")});
    if (!photo) {
      check_full(found, photo.error());
      break;
    }
    kept.push_back(*photo);
  }
  found.expect(kept.size() > 5, "hardly anything fitted");
  found.expect(ok(store.photos()).size() == kept.size(),
               "a photo that was not acknowledged is in the records");
  found.expect(count_unfinished(folder) == 0, "something unfinished is left");
  for (const auto& photo : kept)
    found.expect(store.photo_bytes(photo.id).has_value(), "an acknowledged photo is gone");
  found.expect(ok(store.verify()).faults.empty(), "not whole");
  return found.text();
}

std::string edit_until_full(const std::string& disk) {
  Findings found;
  auto store = ok(Store::create(fs::path(disk) / "a.spile"));
  const auto filler = fs::path(disk) / "filler";
  write_file(filler, std::string(std::size_t{1} << 20U, 'x'));
  int saved = 0;
  auto o = opening("");
  o.notes = std::string(2000, 'n');
  for (;; ++saved) {
    o.tag = fmt::format("P-{}", saved);
    const auto done = store.edit("Add " + o.tag, [&](Edit& edit) { edit.save_opening(o); });
    if (done) continue;
    check_full(found, done.error());
    break;
  }
  found.expect(saved > 5, "hardly anything fitted");
  found.expect(static_cast<int>(ok(store.openings()).size()) == saved,
               "the records are not what was acknowledged");
  fs::remove(filler);
  const auto again = store.edit("Add " + o.tag, [&](Edit& edit) { edit.save_opening(o); });
  found.expect(again.has_value(), "with room made it should go on");
  found.expect(ok(store.verify()).faults.empty(), "not whole");
  return found.text();
}

std::string create_on_full(const std::string& disk) {
  Findings found;
  const fs::path place(disk);
  write_file(place / "filler", std::string(std::size_t{1} << 22U, 'x'));
  // A few free bytes more each time, so that it runs out at every step of creating.
  for (std::uintmax_t room = 4096; room <= 800'000; room += 4096) {
    fs::resize_file(place / "filler", fs::file_size(place / "filler") - 4096);
    const auto created = Store::create(place / "a.spile");
    if (created) {
      found.expect(room > 100'000, "it was not tried with too little room");
      found.expect(ok(created->verify()).faults.empty(), "not whole");
      return found.text();
    }
    check_full(found, created.error());
    found.expect(!fs::exists(place / "a.spile"),
                 fmt::format("something is left with {} bytes of room", room));
  }
  return "never succeeded; " + found.text();
}

std::string open_on_full(const std::string& disk) {
  Findings found;
  const auto folder = fs::path(disk) / "a.spile";
  {
    auto store = ok(Store::create(folder));
    ok(store.edit("Add", [](Edit& edit) { edit.save_opening(opening("P-01")); }));
  }
  write_file(fs::path(disk) / "filler", std::string(std::size_t{1} << 22U, 'x'));
  const auto reader = Store::open(folder, Access::ReadOnly);
  found.expect(reader && ok(reader->openings()).size() == 1, "reading should work");
  const auto writer = Store::open(folder);
  found.expect(!writer, "there is no room to write");
  if (!writer) check_full(found, writer.error());
  fs::remove(fs::path(disk) / "filler");
  found.expect(Store::open(folder).has_value(), "with room made it should open");
  return found.text();
}

std::string read_only_disk(const std::string& disk) {
  Findings found;
  const auto folder = fs::path(disk) / "a.spile";
  {
    auto store = ok(Store::create(folder));
    ok(store.edit("Add", [](Edit& edit) { edit.save_opening(opening("P-01")); }));
    const auto bytes = bytes_of("picture");
    ok(store.keep_photo({bytes, photo_record("a.jpg")}));
  }
  make_read_only(disk);
  const auto reader = ok(Store::open(folder, Access::ReadOnly));
  found.expect(ok(reader.openings()).size() == 1, "reading should work");
  found.expect(ok(reader.verify()).faults.empty(), "verifying should work");
  found.expect(ok(reader.photo_bytes(ok(reader.photos()).at(0).id)) == bytes_of("picture"),
               "photos should be read");
  const auto writer = Store::open(folder);
  found.expect(!writer && writer.error().code == ErrorCode::StorageReadOnly,
               "opening to write should be refused");
  const auto created = Store::create(fs::path(disk) / "b.spile");
  found.expect(!created && created.error().code == ErrorCode::StorageReadOnly, "creating should be refused");
  return found.text();
}

class SmallDisk : public testing::Test {
 protected:
  static void run(int kilobytes, const std::function<std::string(const std::string&)>& work) {
    const auto told = in_child_on_small_disk(kilobytes, work);
    if (told.empty()) GTEST_SKIP() << "this system does not let the test mount a small disk of its own";
    EXPECT_EQ(told, "fine");
  }
};

TEST_F(SmallDisk, FillsUpWhileImporting) {
  run(2048, import_until_full);
}

TEST_F(SmallDisk, FillsUpWhileEditing) {
  run(2048, edit_until_full);
}

TEST_F(SmallDisk, IsFullWhenALogbookIsCreated) {
  run(1024, create_on_full);
}

TEST_F(SmallDisk, IsFullWhenALogbookIsOpened) {
  run(1024, open_on_full);
}

TEST_F(SmallDisk, IsReadOnly) {
  run(2048, read_only_disk);
}

// The same without any right to mount: a limit on the size of files answers much like a full disk.
TEST(FileSizeLimit, IsToldAsNoRoom) {
  const TempFolder temp;
  const auto told = in_child([&] {
    Findings found;
    auto store = ok(Store::create(temp.logbook()));
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{300'000, 300'000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    const auto large = picture(1, 400'000);
    const auto photo = store.keep_photo({large, photo_record("large.jpg")});
    found.expect(!photo, "it cannot have been kept");
    if (!photo) check_full(found, photo.error());
    found.expect(count_unfinished(temp.logbook()) == 0, "something unfinished is left");
    auto o = opening("P-01");
    o.notes = std::string(400'000, 'n');
    const auto edit = store.edit("Add", [&](Edit& e) { e.save_opening(o); });
    found.expect(!edit, "it cannot have been saved");
    if (!edit) check_full(found, edit.error());
    o.notes = "short";
    ok(store.edit("Add", [&](Edit& e) { e.save_opening(o); }));
    found.expect(ok(store.verify()).faults.empty(), "not whole");
    return found.text();
  });
  EXPECT_EQ(told, "fine");
  expect_whole(ok(Store::open(temp.logbook())));
}

}  // namespace
}  // namespace spile::db::test
