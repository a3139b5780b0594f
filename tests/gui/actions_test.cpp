// The table of actions: unique ids and keys, and every action reachable from its menu and by its keys.
#include "gui/actions.hpp"

#include <gmock/gmock.h>

#include <set>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

TEST(Actions, HaveUniqueIdsAndKeys) {
  std::set<std::string_view> ids;
  std::set<std::string> keys;
  for (const Action& a : all_actions()) {
    EXPECT_TRUE(ids.insert(a.id).second) << a.id;
    EXPECT_FALSE(a.label.empty()) << a.id;
    if (!a.shortcut.none()) {
      EXPECT_TRUE(keys.insert(text_of(a.shortcut)).second) << a.id;
    }
  }
}

TEST(Actions, SpellTheirKeys) {
  EXPECT_EQ(keys_of("edit.redo"), "Ctrl+Shift+Z");
  EXPECT_EQ(keys_of("photo.next"), "]");
  EXPECT_EQ(text_of(Shortcut{}), "");
}

class ActionsTest : public WindowTest {};

TEST_F(ActionsTest, AreAllInTheMenus) {
  make_opening();
  Driver& w = window();
  for (const Menu menu : {Menu::Logbook, Menu::Edit, Menu::Opening, Menu::Photo, Menu::View, Menu::Help}) {
    w.click("menu." + std::string(title_of(menu)));
    w.frame();
    for (const Action& a : all_actions())
      if (a.menu == menu) {
        ASSERT_TRUE(w.sees("menu/" + std::string(a.id))) << a.id;
        EXPECT_EQ(w.enabled("menu/" + std::string(a.id)), a.enabled(w.desk())) << a.id;
      }
    w.key(Key::Escape);
    w.frame();
  }
}

TEST_F(ActionsTest, MenuNamesWhatUndoWillTakeBack) {
  make_opening();
  EXPECT_EQ(label_of(action("edit.undo"), window().desk()), "Undo: Add opening P-01");
  window().menu("Edit", "edit.undo");
  EXPECT_TRUE(window().logbook().openings.empty());
  EXPECT_EQ(label_of(action("edit.redo"), window().desk()), "Redo: Add opening P-01");
}

TEST_F(ActionsTest, LettersAreTextWhileTyping) {
  make_opening();
  take_in("s01-hole-2026.jpg");
  Driver& w = window();
  w.click("record.hose");
  w.key(Key::R);  // would take the rim tool in hand
  EXPECT_EQ(w.desk().bench().tool, Tool::Look);
  w.key(Key::Escape);
  w.click("record.side/starboard");
  w.key(Key::R);
  EXPECT_EQ(w.desk().bench().tool, Tool::Rim);
}

TEST_F(ActionsTest, HelpSheetListsEveryKeyAndClosesByKey) {
  Driver& w = window();
  w.key(Key::F1);
  w.frame(2);
  EXPECT_TRUE(w.sees("help.title"));
  w.key(Key::Escape);
  w.frame(2);
  EXPECT_FALSE(w.sees("help.title"));
  EXPECT_FALSE(w.state().help);
  w.key(Key::F1);
  w.frame(2);
  w.key(Key::F1);
  w.frame(2);
  EXPECT_FALSE(w.state().help);
}

TEST_F(ActionsTest, ThemeUnitsAndScaleBySettingsAreKept) {
  Driver& w = window();
  w.key(Key::D, true);
  w.key(Key::U, true, true);
  w.key(Key::Plus, true);
  EXPECT_EQ(w.state().settings.shade, Shade::Dark);
  EXPECT_EQ(w.state().settings.lengths, units::LengthSystem::Inch);
  EXPECT_FLOAT_EQ(w.shell().scale(), 1.1F);
  restart();
  EXPECT_EQ(window().state().settings.shade, Shade::Dark);
  EXPECT_EQ(window().state().settings.lengths, units::LengthSystem::Inch);
  EXPECT_FLOAT_EQ(window().shell().scale(), 1.1F);
}

}  // namespace
}  // namespace spile::gui
