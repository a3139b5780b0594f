// Every action of the window in one table: the menus, the buttons, the keys, the help sheet and the tests all
// read it.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "gui/intents.hpp"
#include "gui/keys.hpp"

namespace spile::gui {

class Desk;

enum class Menu { Logbook, Edit, Opening, Photo, View, Help };

struct Action {
  std::string_view id;  // stable: "opening.add"
  Menu menu;
  std::string_view label;  // "Add an opening"
  Shortcut shortcut;
  bool (*enabled)(const Desk&);
  Intent (*intent)(const Desk&);
  bool (*ticked)(const Desk&) = nullptr;  // for what is switched on and off
  bool line_above = false;                // begins a new group in the menu
};

[[nodiscard]] std::span<const Action> all_actions();
[[nodiscard]] const Action& action(std::string_view id);  // asserts that it exists
[[nodiscard]] std::string_view title_of(Menu menu);
// The label as it reads now: "Undo move rim point".
[[nodiscard]] std::string label_of(const Action& action, const Desk& desk);
// "Ctrl+N"; for buttons.
[[nodiscard]] std::string keys_of(std::string_view id);

// Asks for the action whose keys go down in this frame.
void run_shortcuts(const Desk& desk, Intents& intents);

}  // namespace spile::gui
