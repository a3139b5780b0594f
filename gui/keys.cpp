#include "gui/keys.hpp"

#include <GLFW/glfw3.h>
#include <imgui.h>

#include <array>
#include <cassert>
#include <utility>

namespace spile::gui {

namespace {

struct Row {
  Key key;
  int code;
  const char* name;
};

constexpr Row kRows[] = {
    {Key::F1, GLFW_KEY_F1, "F1"},
    {Key::F2, GLFW_KEY_F2, "F2"},
    {Key::F3, GLFW_KEY_F3, "F3"},
    {Key::F4, GLFW_KEY_F4, "F4"},
    {Key::F5, GLFW_KEY_F5, "F5"},
    {Key::F6, GLFW_KEY_F6, "F6"},
    {Key::F11, GLFW_KEY_F11, "F11"},
    {Key::Enter, GLFW_KEY_ENTER, "Enter"},
    {Key::Escape, GLFW_KEY_ESCAPE, "Esc"},
    {Key::Space, GLFW_KEY_SPACE, "Space"},
    {Key::Backspace, GLFW_KEY_BACKSPACE, "Backspace"},
    {Key::Delete, GLFW_KEY_DELETE, "Del"},
    {Key::Tab, GLFW_KEY_TAB, "Tab"},
    {Key::Left, GLFW_KEY_LEFT, "Left"},
    {Key::Right, GLFW_KEY_RIGHT, "Right"},
    {Key::Up, GLFW_KEY_UP, "Up"},
    {Key::Down, GLFW_KEY_DOWN, "Down"},
    {Key::PageUp, GLFW_KEY_PAGE_UP, "Page Up"},
    {Key::PageDown, GLFW_KEY_PAGE_DOWN, "Page Down"},
    {Key::Home, GLFW_KEY_HOME, "Home"},
    {Key::End, GLFW_KEY_END, "End"},
    {Key::Plus, GLFW_KEY_EQUAL, "+"},
    {Key::Minus, GLFW_KEY_MINUS, "-"},
    {Key::Comma, GLFW_KEY_COMMA, ","},
    {Key::LeftBracket, GLFW_KEY_LEFT_BRACKET, "["},
    {Key::RightBracket, GLFW_KEY_RIGHT_BRACKET, "]"},
};

// Letters and digits are contiguous both here and in the window system.
constexpr bool is_letter(Key key) {
  return key >= Key::A && key <= Key::Z;
}
constexpr bool is_digit(Key key) {
  return key >= Key::Digit0 && key <= Key::Digit5;
}
constexpr bool is_function_key(Key key) {
  return key >= Key::F1 && key <= Key::F11;
}

const Row& row_of(Key key) {
  for (const Row& row : kRows)
    if (row.key == key) return row;
  assert(false && "a key without a row in gui/keys.cpp");
  return kRows[0];
}

std::string name_of(Key key) {
  if (is_letter(key)) return {static_cast<char>('A' + static_cast<int>(key) - static_cast<int>(Key::A))};
  if (is_digit(key)) return {static_cast<char>('0' + static_cast<int>(key) - static_cast<int>(Key::Digit0))};
  return row_of(key).name;
}

}  // namespace

int code_of(Key key) {
  if (is_letter(key)) return GLFW_KEY_A + static_cast<int>(key) - static_cast<int>(Key::A);
  if (is_digit(key)) return GLFW_KEY_0 + static_cast<int>(key) - static_cast<int>(Key::Digit0);
  return row_of(key).code;
}

bool pressed(Key key, bool repeat) {
  if (ImGui::IsKeyPressed(code_of(key), repeat)) return true;
  // The number pad's twins.
  if (key == Key::Plus) return ImGui::IsKeyPressed(GLFW_KEY_KP_ADD, repeat);
  if (key == Key::Minus) return ImGui::IsKeyPressed(GLFW_KEY_KP_SUBTRACT, repeat);
  if (key == Key::Enter) return ImGui::IsKeyPressed(GLFW_KEY_KP_ENTER, repeat);
  return false;
}

bool pressed(const Shortcut& shortcut) {
  if (shortcut.none()) return false;
  const ImGuiIO& io = ImGui::GetIO();
  if (io.KeyCtrl != shortcut.ctrl || io.KeyAlt || io.KeySuper) return false;
  // "+" needs Shift on many keyboards, so it must not be refused for it.
  if (io.KeyShift != shortcut.shift && shortcut.key != Key::Plus) return false;
  if (io.WantTextInput && !shortcut.ctrl && !is_function_key(shortcut.key)) return false;
  return pressed(shortcut.key);
}

std::string text_of(const Shortcut& shortcut) {
  if (shortcut.none()) return {};
  std::string text;
  if (shortcut.ctrl) text += "Ctrl+";
  if (shortcut.shift) text += "Shift+";
  return text + name_of(shortcut.key);
}

void map_keys(ImGuiIO& io) {
  constexpr std::array<std::pair<int, int>, 22> kMap = {{
      {ImGuiKey_Tab, GLFW_KEY_TAB},
      {ImGuiKey_LeftArrow, GLFW_KEY_LEFT},
      {ImGuiKey_RightArrow, GLFW_KEY_RIGHT},
      {ImGuiKey_UpArrow, GLFW_KEY_UP},
      {ImGuiKey_DownArrow, GLFW_KEY_DOWN},
      {ImGuiKey_PageUp, GLFW_KEY_PAGE_UP},
      {ImGuiKey_PageDown, GLFW_KEY_PAGE_DOWN},
      {ImGuiKey_Home, GLFW_KEY_HOME},
      {ImGuiKey_End, GLFW_KEY_END},
      {ImGuiKey_Insert, GLFW_KEY_INSERT},
      {ImGuiKey_Delete, GLFW_KEY_DELETE},
      {ImGuiKey_Backspace, GLFW_KEY_BACKSPACE},
      {ImGuiKey_Space, GLFW_KEY_SPACE},
      {ImGuiKey_Enter, GLFW_KEY_ENTER},
      {ImGuiKey_Escape, GLFW_KEY_ESCAPE},
      {ImGuiKey_KeyPadEnter, GLFW_KEY_KP_ENTER},
      {ImGuiKey_A, GLFW_KEY_A},
      {ImGuiKey_C, GLFW_KEY_C},
      {ImGuiKey_V, GLFW_KEY_V},
      {ImGuiKey_X, GLFW_KEY_X},
      {ImGuiKey_Y, GLFW_KEY_Y},
      {ImGuiKey_Z, GLFW_KEY_Z},
  }};
  for (const auto& [name, code] : kMap) io.KeyMap[name] = code;
}

}  // namespace spile::gui
