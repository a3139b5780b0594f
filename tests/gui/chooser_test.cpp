// The file chooser: what it lists, where it goes, what it brings back.
#include "gui/chooser.hpp"

#include <gmock/gmock.h>

#include <fstream>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

namespace fs = std::filesystem;

class ChooserTest : public WindowTest {
 protected:
  void SetUp() override {
    fs::create_directories(folder() / "photos" / "deep");
    for (const char* name : {"b10.jpg", "b2.JPG", "notes.txt", ".hidden.jpg", "c.heic"})
      std::ofstream(folder() / "photos" / name) << "x";
    fs::create_directories(folder() / "photos" / "boat.spile");
    std::ofstream(folder() / "photos" / "boat.spile" / "log.sqlite") << "x";
  }
  static std::vector<std::string> names(const ChooserState& state) {
    std::vector<std::string> out;
    for (const auto& entry : state.entries) out.push_back(entry.name);
    return out;
  }
};

TEST_F(ChooserTest, ListsFoldersLogbooksAndPhotosAsPeopleCount) {
  const auto state = list_folder(ChooserFor::Photos, folder() / "photos");
  EXPECT_THAT(names(state), testing::ElementsAre("deep", "boat.spile", "b2.JPG", "b10.jpg", "c.heic"));
  EXPECT_THAT(names(list_folder(ChooserFor::OpenLogbook, folder() / "photos")),
              testing::ElementsAre("deep", "boat.spile"));
}

TEST_F(ChooserTest, PathsAreShownFromHome) {
  setenv("HOME", folder().c_str(), 1);
  EXPECT_EQ(from_home(folder() / "boats" / "heron.spile"), "~/boats/heron.spile");
  EXPECT_EQ(from_home(folder()), "~");
  EXPECT_EQ(from_home("/media/card"), "/media/card");
}

TEST_F(ChooserTest, AFolderThatIsNotThereIsSaid) {
  EXPECT_THAT(list_folder(ChooserFor::Photos, folder() / "gone").trouble, testing::HasSubstr("gone"));
}

TEST_F(ChooserTest, TakesPhotosPickedByHand) {
  fs::copy_file(demo_photo("s01-hole-2026.jpg"), folder() / "photos" / "one.jpg");
  fs::copy_file(demo_photo("s04-hole-2026.jpg"), folder() / "photos" / "two.jpg");
  make_opening();
  Driver& w = window();
  w.key(Key::I, true);
  w.frame(2);
  w.fill("chooser.path", (folder() / "photos").string());
  w.frame(2);
  w.click("chooser.entry.one.jpg");
  w.click("chooser.entry.two.jpg");
  w.click("chooser.take");
  w.settle();
  EXPECT_EQ(w.opening("P-01").photos.size(), 2U);
  EXPECT_EQ(w.state().settings.photo_folder, folder() / "photos");
}

TEST_F(ChooserTest, EscapeLeavesEverythingAsItWas) {
  make_opening();
  Driver& w = window();
  w.key(Key::I, true);
  w.frame(2);
  EXPECT_TRUE(w.sees("chooser.take"));
  w.key(Key::Escape);
  w.frame(3);
  EXPECT_FALSE(w.sees("chooser.take"));
  EXPECT_FALSE(w.state().chooser.open);
}

TEST_F(ChooserTest, OpensALogbookByTypingItsPath) {
  make_logbook("Other");
  Driver& w = window();
  w.key(Key::W, true);
  w.frame(2);
  EXPECT_FALSE(w.desk().logbook());
  w.key(Key::O, true);
  w.frame(2);
  w.fill("chooser.path", (folder() / "Other.spile").string());
  w.settle();
  ASSERT_TRUE(w.desk().logbook());
  EXPECT_EQ(w.logbook().folder.filename(), "Other.spile");
}

TEST_F(ChooserTest, ANameThatIsTakenIsRefusedWithASentence) {
  make_logbook("Twice");
  Driver& w = window();
  w.key(Key::W, true);
  w.frame(2);
  w.click("start.create");
  w.frame(2);
  w.fill("chooser.path", folder().string());
  w.fill("chooser.name", "Twice");
  w.settle();
  EXPECT_FALSE(w.desk().logbook());
  ASSERT_FALSE(w.state().messages.empty());
  EXPECT_TRUE(w.state().messages.back().problem);
  EXPECT_THAT(w.state().messages.back().text, testing::HasSubstr("Twice.spile"));
}

TEST_F(ChooserTest, APathThatIsNotThereMakesNoLogbookElsewhere) {
  Driver& w = window();
  w.click("start.create");
  w.frame(2);
  w.fill("chooser.path", (folder() / "gone").string());
  w.frame(2);
  w.click("chooser.name");
  w.write("Heron");
  w.frame(2);
  EXPECT_FALSE(w.enabled("chooser.take"));
  w.fill("chooser.path", folder().string());
  w.frame(2);
  EXPECT_TRUE(w.enabled("chooser.take"));
}

}  // namespace
}  // namespace spile::gui
