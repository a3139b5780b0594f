// All keys in one place. The library of this Debian knows only 22 keys by name; letters are the window
// system's own codes, which must not leak into the views.
#pragma once

#include <string>

struct ImGuiIO;

namespace spile::gui {

enum class Key {
  None,
  A,
  B,
  C,
  D,
  E,
  F,
  G,
  H,
  I,
  J,
  K,
  L,
  M,
  N,
  O,
  P,
  Q,
  R,
  S,
  T,
  U,
  V,
  W,
  X,
  Y,
  Z,
  Digit0,
  Digit1,
  Digit2,
  Digit3,
  Digit4,
  Digit5,
  F1,
  F2,
  F3,
  F4,
  F5,
  F6,
  F11,
  Enter,
  Escape,
  Space,
  Backspace,
  Delete,
  Tab,
  Left,
  Right,
  Up,
  Down,
  PageUp,
  PageDown,
  Home,
  End,
  Plus,
  Minus,
  Comma,
  LeftBracket,
  RightBracket,
};

struct Shortcut {
  Key key = Key::None;
  bool ctrl = false;
  bool shift = false;
  [[nodiscard]] bool none() const { return key == Key::None; }
  friend bool operator==(const Shortcut&, const Shortcut&) = default;
};

// Goes down in this frame (with repeat where `repeat`), whatever the modifiers.
[[nodiscard]] bool pressed(Key key, bool repeat = false);
// Goes down with exactly these modifiers. While a text is being typed only shortcuts with Ctrl and the
// function keys count.
[[nodiscard]] bool pressed(const Shortcut& shortcut);

// "Ctrl+Shift+Z"; empty for none.
[[nodiscard]] std::string text_of(const Shortcut& shortcut);

// The window system's code of a key, for tests that type.
[[nodiscard]] int code_of(Key key);
// What the window's backend does on start; for a context without a window.
void map_keys(ImGuiIO& io);

}  // namespace spile::gui
