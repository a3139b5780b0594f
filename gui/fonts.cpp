#include "gui/fonts.hpp"

#include <imgui_freetype.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <string_view>

#include "assets/embedded.hpp"

namespace spile::gui {

namespace {

// Names and notes are the user's own: Latin with all its accents, Greek and Cyrillic.
constexpr ImWchar kText[] = {0x0020, 0x024F, 0x0370, 0x03FF, 0x0400, 0x052F, 0x1E00,
                             0x1EFF, 0x2010, 0x205E, 0x20A0, 0x20BF, 0x2100, 0x214F,
                             0x2212, 0x2212, 0x2260, 0x2265, 0xFFFD, 0xFFFD, 0};
// The signs Roboto lacks.
constexpr ImWchar kSigns[] = {0x2190, 0x21FF, 0x2300, 0x2300, 0x25A0, 0x25FF,
                              0x26A0, 0x26A0, 0x2713, 0x2717, 0};

void add(std::string_view file, float px, const ImWchar* ranges, bool merge) {
  const auto data = assets::bytes(file);
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;  // the bytes are part of the program
  config.MergeMode = merge;
  config.OversampleH = 1;
  config.OversampleV = 1;
  config.PixelSnapH = true;
  config.FontBuilderFlags = ImGuiFreeTypeBuilderFlags_LightHinting;
  // The library takes a mutable pointer but only reads when it does not own the data.
  ImGui::GetIO().Fonts->AddFontFromMemoryTTF(const_cast<std::uint8_t*>(data.data()),
                                             static_cast<int>(data.size()), px, &config, ranges);
}

ImFont* face(std::string_view file, float size, float scale) {
  const float px = std::round(size * scale);
  add(file, px, kText, false);
  ImFont* font = ImGui::GetIO().Fonts->Fonts.back();
  add("fonts/DejaVuSans.ttf", std::round(px * 0.92F), kSigns, true);
  return font;
}

}  // namespace

Fonts build_fonts(float scale) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
  atlas.TexDesiredWidth = 2048;
  Fonts fonts;
  fonts.body = face("fonts/Roboto-Regular.ttf", 17, scale);
  fonts.strong = face("fonts/Roboto-Medium.ttf", 17, scale);
  fonts.small = face("fonts/Roboto-Regular.ttf", 15, scale);
  fonts.heading = face("fonts/Roboto-Medium.ttf", 20, scale);
  fonts.display = face("fonts/Roboto-Bold.ttf", 32, scale);
  atlas.Build();
  return fonts;
}

}  // namespace spile::gui
