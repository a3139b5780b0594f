// What the window remembers, and that a damaged file costs nothing but the memory.
#include "gui/settings.hpp"

#include <gmock/gmock.h>

#include <cstdlib>
#include <fstream>

namespace spile::gui {
namespace {

namespace fs = std::filesystem;

class SettingsTest : public testing::Test {
 protected:
  SettingsTest() {
    std::string pattern = (fs::temp_directory_path() / "spile-settings-XXXXXX").string();
    folder = mkdtemp(pattern.data());
    file = folder / "a" / "desk.json";
  }
  ~SettingsTest() override { fs::remove_all(folder); }
  void write(const std::string& text) {
    fs::create_directories(file.parent_path());
    std::ofstream(file) << text;
  }
  fs::path folder, file;
};

TEST_F(SettingsTest, ComeBackAsTheyWereKept) {
  Settings s;
  s.shade = Shade::Dark;
  s.lengths = units::LengthSystem::Inch;
  s.scale = 1.5F;
  s.list_share = 0.3F;
  s.remember(folder / "böat.spile");
  ASSERT_TRUE(save_settings(s, file));
  const Settings back = load_settings(file);
  EXPECT_EQ(back.shade, Shade::Dark);
  EXPECT_EQ(back.lengths, units::LengthSystem::Inch);
  EXPECT_FLOAT_EQ(back.scale, 1.5F);
  EXPECT_FLOAT_EQ(back.list_share, 0.3F);
  EXPECT_EQ(back.recent, std::vector<fs::path>{folder / "böat.spile"});
  EXPECT_EQ(back.logbook_folder, folder);
}

TEST_F(SettingsTest, ADamagedFileFallsBackToDefaults) {
  for (const char* text : {"", "{", "[1,2]", "{\"scale\": \"big\", \"theme\": 7, \"recent\": {}}"}) {
    write(text);
    EXPECT_FLOAT_EQ(load_settings(file).scale, 1.0F) << text;
  }
  EXPECT_FLOAT_EQ(load_settings(folder / "none.json").scale, 1.0F);
}

TEST_F(SettingsTest, ValuesOutOfRangeAreBroughtBack) {
  write(R"({"scale": 90, "left_share": -3, "window_width": 1})");
  const Settings s = load_settings(file);
  EXPECT_FLOAT_EQ(s.scale, Settings::kMaxScale);
  EXPECT_FLOAT_EQ(s.left_share, 0.15F);
  EXPECT_EQ(s.window_width, 640);
}

TEST_F(SettingsTest, RecentLogbooksAreFewAndUnique) {
  Settings s;
  for (int i = 0; i < 20; ++i) s.remember(folder / std::to_string(i));
  s.remember(folder / "15");
  EXPECT_EQ(s.recent.size(), Settings::kMaxRecent);
  EXPECT_EQ(s.recent.front(), folder / "15");
  EXPECT_EQ(std::count(s.recent.begin(), s.recent.end(), folder / "15"), 1);
}

TEST_F(SettingsTest, AFolderThatCannotBeMadeIsSaid) {
  std::ofstream(folder / "a") << "a file where the folder should be";
  const auto kept = save_settings({}, file);
  ASSERT_FALSE(kept);
  EXPECT_THAT(kept.error().what, testing::HasSubstr("desk.json"));
}

}  // namespace
}  // namespace spile::gui
