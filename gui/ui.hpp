// What every view draws with: look, sizes, names of the units, where intents go. Lives for one frame.
#pragma once

#include <imgui.h>

#include <string>

#include "gui/drafts.hpp"
#include "gui/fonts.hpp"
#include "gui/intents.hpp"
#include "gui/settings.hpp"
#include "gui/textures.hpp"
#include "gui/theme.hpp"

namespace spile::gui {

class Desk;

struct Ui {
  const Desk& desk;
  const Palette& colours;
  const Fonts& fonts;
  float scale = 1;  // screen pixels per design pixel
  units::LengthSystem lengths = units::LengthSystem::Metric;
  bool editable = false;  // a logbook is open and may be written to
  Drafts& drafts;
  Textures& textures;
  Intents& intents;
  std::string& focus;  // the field the keyboard goes to next, by name; emptied when it got there

  [[nodiscard]] float px(float design) const { return design * scale; }
  void ask(Intent intent) const { intents.push(std::move(intent)); }
};

}  // namespace spile::gui
