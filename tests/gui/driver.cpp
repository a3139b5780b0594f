#include "tests/gui/driver.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

namespace spile::gui {

Driver::Driver(Options options) : options_(std::move(options)) {
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  io.ConfigInputTextCursorBlink = false;
  io.DisplaySize = {options_.width, options_.height};
  io.DeltaTime = 1.0F / 60;
  io.MousePos = {-1, -1};
  map_keys(io);
  hooks::listen(&registry_);
  desk_ =
      std::make_unique<Desk>(Desk::Options{options_.settings_file, {}, app::Clock::stopped_at(options_.now)});
  shell_ = std::make_unique<Shell>(*desk_, textures_);
  frame(3);
}

Driver::~Driver() {
  shell_.reset();
  desk_.reset();
  ImGui::DestroyContext();
}

const app::Snapshot& Driver::logbook() const {
  const app::Snapshot* logbook = desk_->logbook();
  if (!logbook) throw std::runtime_error("no logbook is open");
  return *logbook;
}

const app::OpeningView& Driver::opening(std::string_view tag) const {
  const app::OpeningView* view = logbook().find(tag);
  if (!view) throw std::runtime_error("no opening " + std::string(tag));
  return *view;
}

void Driver::frame(int count) {
  for (int i = 0; i < count; ++i) {
    if (shell_->prepare(options_.scale)) ImGui::GetIO().Fonts->SetTexID(reinterpret_cast<ImTextureID>(1));
    ImGui::NewFrame();
    shell_->frame();
    ImGui::Render();
  }
}

void Driver::settle() {
  constexpr int kMost = 20;  // an answer may start the next piece of work
  for (int i = 0; i < kMost; ++i) {
    frame(2);
    if (desk_->idle()) break;
    desk_->wait_idle();
  }
  frame(2);
}

bool Driver::sees(std::string_view name) const {
  return registry_.find(name) != nullptr;
}

const hooks::Item& Driver::item(std::string_view name) const {
  const hooks::Item* found = registry_.find(name);
  if (!found) throw std::runtime_error("not on screen: " + std::string(name));
  return *found;
}

bool Driver::reads(std::string_view text) const {
  return registry_.said(text);
}

bool Driver::enabled(std::string_view name) const {
  return !item(name).disabled;
}

ImVec2 Driver::middle_of(std::string_view name) const {
  const hooks::Item& i = item(name);
  return {(i.min.x + i.max.x) / 2, (i.min.y + i.max.y) / 2};
}

void Driver::move_to(ImVec2 point) {
  ImGui::GetIO().MousePos = point;
  frame();
}

void Driver::press() {
  ImGui::GetIO().MouseDown[0] = true;
  frame();
}

void Driver::release() {
  ImGui::GetIO().MouseDown[0] = false;
  frame(2);
}

void Driver::click(ImVec2 point) {
  move_to(point);
  press();
  release();
}

void Driver::click(std::string_view name) {
  scroll_to(name);
  if (!enabled(name)) throw std::runtime_error("disabled: " + std::string(name));
  click(middle_of(name));
}

void Driver::double_click(std::string_view name) {
  scroll_to(name);
  move_to(middle_of(name));
  press();
  release();
  press();
  release();
}

void Driver::drag(ImVec2 from, ImVec2 to, int steps) {
  move_to(from);
  press();
  for (int i = 1; i <= steps; ++i) {
    const float share = static_cast<float>(i) / static_cast<float>(steps);
    move_to({from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share});
  }
  release();
}

void Driver::wheel(ImVec2 at, float ticks) {
  move_to(at);
  ImGui::GetIO().MouseWheel = ticks;
  frame();
  ImGui::GetIO().MouseWheel = 0;
  frame();
}

void Driver::scroll_to(std::string_view name) {
  constexpr int kMostTurns = 200;
  for (int turn = 0; turn < kMostTurns; ++turn) {
    const hooks::Item i = item(name);
    const float middle = (i.min.y + i.max.y) / 2;
    if (middle > i.clip_min.y + 2 && middle < i.clip_max.y - 2) return;
    const ImVec2 over = {(i.clip_min.x + i.clip_max.x) / 2, (i.clip_min.y + i.clip_max.y) / 2};
    wheel(over, middle <= i.clip_min.y + 2 ? 0.5F : -0.5F);
  }
  throw std::runtime_error("cannot be scrolled into sight: " + std::string(name));
}

void Driver::tap(int code, bool ctrl, bool shift) {
  ImGuiIO& io = ImGui::GetIO();
  io.KeyCtrl = ctrl;
  io.KeyShift = shift;
  io.KeysDown[code] = true;
  frame();
  io.KeysDown[code] = false;
  io.KeyCtrl = false;
  io.KeyShift = false;
  frame(2);
}

void Driver::key(Key key, bool ctrl, bool shift) {
  tap(code_of(key), ctrl, shift);
}

void Driver::write(std::string_view text) {
  ImGui::GetIO().AddInputCharactersUTF8(std::string(text).c_str());
  frame(2);
}

void Driver::fill(std::string_view name, std::string_view text) {
  click(name);
  key(Key::A, true);
  if (text.empty()) key(Key::Delete);
  write(text);
  key(Key::Enter);
}

void Driver::choose(std::string_view field, std::string_view key) {
  click(field);
  frame();
  click(std::string(field) + "/" + std::string(key));
  frame(2);
}

void Driver::menu(std::string_view menu, std::string_view action) {
  click("menu." + std::string(menu));
  frame();
  click("menu/" + std::string(action));
  frame(2);
}

void Driver::drop(std::vector<std::filesystem::path> files, ImVec2 at) {
  move_to(at);
  shell_->drop(std::move(files));
  settle();
}

}  // namespace spile::gui
