#include "gui/theme.hpp"

#include <cmath>

namespace spile::gui {

namespace {

constexpr Palette kLight = {
    .ground = hex(0xD9E0DF),
    .pane = hex(0xF5F7F5),
    .raised = hex(0xE7ECEA),
    .field = hex(0xFFFFFF),
    .line = hex(0xC3CCCA),
    .edge = hex(0x6F7D7B),
    .ink = hex(0x13222B),
    .soft = hex(0x465660),
    .faint = hex(0x6B7880),
    .accent = hex(0x0B5877),
    .on_accent = hex(0xFFFFFF),
    .selected = hex(0xC9E0EA),
    .hovered = hex(0xDFEBF0),
    .good = {hex(0x17633A), hex(0xD5EBDC)},
    .watch = {hex(0x7A4B00), hex(0xF7E7C3)},
    .act = {hex(0x9C1C15), hex(0xF9DAD6)},
    .unsure = {hex(0x573A92), hex(0xE7DFF6)},
    .unknown = {hex(0x4A5761), hex(0xE0E5E7)},
    .photo_ground = hex(0x8B8F90),
    .reference = hex(0x39C6F0),
    .found = hex(0xFFD23F),
    .by_hand = hex(0xFF7AC6),
    .crack = hex(0xFFD23F),
    .stain = hex(0xFFA05C),
    .chip = hex(0x78E6BE),
    .other = hex(0xCDBEFF),
    .halo = hex(0x10181C),
};

constexpr Palette kDark = {
    .ground = hex(0x0D1418),
    .pane = hex(0x162026),
    .raised = hex(0x1F2B32),
    .field = hex(0x0F181D),
    .line = hex(0x33434B),
    .edge = hex(0x748893),
    .ink = hex(0xE7EDEC),
    .soft = hex(0xB3C0C6),
    .faint = hex(0x8B9AA2),
    .accent = hex(0x62BFE3),
    .on_accent = hex(0x06202B),
    .selected = hex(0x1D4356),
    .hovered = hex(0x25363F),
    .good = {hex(0x74D097), hex(0x173524)},
    .watch = {hex(0xECBD5E), hex(0x3A2D10)},
    .act = {hex(0xFF9A8E), hex(0x47211D)},
    .unsure = {hex(0xC4B0F7), hex(0x30274B)},
    .unknown = {hex(0xB2BFC5), hex(0x29353C)},
    .photo_ground = hex(0x2A2E30),
    .reference = hex(0x39C6F0),
    .found = hex(0xFFD23F),
    .by_hand = hex(0xFF7AC6),
    .crack = hex(0xFFD23F),
    .stain = hex(0xFFA05C),
    .chip = hex(0x78E6BE),
    .other = hex(0xCDBEFF),
    .halo = hex(0x10181C),
};

// WCAG 2.1, definition of relative luminance.
double luminance(Colour c) {
  const auto linear = [](float v) {
    const double s = static_cast<double>(v);
    return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

void set_text_and_ground(ImGuiStyle& style, const Palette& p) {
  ImVec4* c = style.Colors;
  c[ImGuiCol_Text] = p.ink.vec();
  c[ImGuiCol_TextDisabled] = p.faint.vec();
  c[ImGuiCol_WindowBg] = p.ground.vec();
  c[ImGuiCol_ChildBg] = p.pane.vec();
  c[ImGuiCol_PopupBg] = p.pane.vec();
  c[ImGuiCol_Border] = p.line.vec();
  c[ImGuiCol_BorderShadow] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_MenuBarBg] = p.raised.vec();
  c[ImGuiCol_TitleBg] = p.raised.vec();
  c[ImGuiCol_TitleBgActive] = p.raised.vec();
  c[ImGuiCol_TitleBgCollapsed] = p.raised.vec();
  c[ImGuiCol_Separator] = p.line.vec();
  c[ImGuiCol_SeparatorHovered] = p.accent.vec();
  c[ImGuiCol_SeparatorActive] = p.accent.vec();
  c[ImGuiCol_ModalWindowDimBg] = ImVec4(0.03F, 0.06F, 0.08F, 0.45F);
  c[ImGuiCol_NavWindowingDimBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_NavWindowingHighlight] = p.accent.vec();
  c[ImGuiCol_NavHighlight] = p.accent.vec();
  c[ImGuiCol_DragDropTarget] = p.accent.vec();
  c[ImGuiCol_TextSelectedBg] = p.selected.vec();
}

void set_controls(ImGuiStyle& style, const Palette& p) {
  ImVec4* c = style.Colors;
  c[ImGuiCol_FrameBg] = p.field.vec();
  c[ImGuiCol_FrameBgHovered] = p.hovered.vec();
  c[ImGuiCol_FrameBgActive] = p.field.vec();
  c[ImGuiCol_Button] = p.raised.vec();
  c[ImGuiCol_ButtonHovered] = p.hovered.vec();
  c[ImGuiCol_ButtonActive] = p.selected.vec();
  c[ImGuiCol_Header] = p.selected.vec();
  c[ImGuiCol_HeaderHovered] = p.hovered.vec();
  c[ImGuiCol_HeaderActive] = p.selected.vec();
  c[ImGuiCol_CheckMark] = p.accent.vec();
  c[ImGuiCol_SliderGrab] = p.accent.vec();
  c[ImGuiCol_SliderGrabActive] = p.accent.vec();
  c[ImGuiCol_ScrollbarBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_ScrollbarGrab] = p.line.vec();
  c[ImGuiCol_ScrollbarGrabHovered] = p.edge.vec();
  c[ImGuiCol_ScrollbarGrabActive] = p.edge.vec();
  c[ImGuiCol_ResizeGrip] = p.line.vec();
  c[ImGuiCol_ResizeGripHovered] = p.accent.vec();
  c[ImGuiCol_ResizeGripActive] = p.accent.vec();
  c[ImGuiCol_PlotHistogram] = p.accent.vec();
  c[ImGuiCol_TableHeaderBg] = p.raised.vec();
  c[ImGuiCol_TableBorderStrong] = p.line.vec();
  c[ImGuiCol_TableBorderLight] = blend(p.line, p.pane, 0.5F).vec();
  c[ImGuiCol_TableRowBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_TableRowBgAlt] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_Tab] = p.raised.vec();
  c[ImGuiCol_TabHovered] = p.hovered.vec();
  c[ImGuiCol_TabActive] = p.pane.vec();
}

void set_sizes(ImGuiStyle& style) {
  style.WindowPadding = {10, 8};
  style.FramePadding = {8, 4};
  style.ItemSpacing = {8, 6};
  style.ItemInnerSpacing = {6, 4};
  style.CellPadding = {6, 4};
  style.IndentSpacing = 16;
  style.ScrollbarSize = 12;
  style.GrabMinSize = 12;
  style.WindowBorderSize = 0;
  style.ChildBorderSize = 1;
  style.PopupBorderSize = 1;
  style.FrameBorderSize = 1;
  style.WindowRounding = 0;
  style.ChildRounding = 3;
  style.FrameRounding = 3;
  style.PopupRounding = 3;
  style.GrabRounding = 3;
  style.ScrollbarRounding = 6;
  style.DisabledAlpha = 0.55F;
}

}  // namespace

ImU32 Colour::u32(float alpha) const {
  return ImGui::ColorConvertFloat4ToU32(vec(alpha));
}

Colour blend(Colour from, Colour to, float share) {
  return {from.r + (to.r - from.r) * share, from.g + (to.g - from.g) * share,
          from.b + (to.b - from.b) * share};
}

double contrast(Colour a, Colour b) {
  const double la = luminance(a);
  const double lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

const Palette& palette(Shade shade) {
  return shade == Shade::Light ? kLight : kDark;
}

StandingLook look_of(rules::Standing standing) {
  switch (standing) {
    case rules::Standing::Good:
      return {MarkShape::Disc, "good", "Nothing to do"};
    case rules::Standing::Watch:
      return {MarkShape::Square, "watch", "Keep an eye on it"};
    case rules::Standing::Act:
      return {MarkShape::Triangle, "act", "Something has to be done"};
    case rules::Standing::TooCloseToTell:
      return {MarkShape::Diamond, "too close", "Too close to tell"};
    case rules::Standing::NotKnownYet:
      return {MarkShape::Ring, "not known", "Not known yet"};
    case rules::Standing::NotApplicable:
      return {MarkShape::Dash, "n/a", "Does not apply"};
  }
  return {MarkShape::Ring, "not known", "Not known yet"};
}

Tone tone_of(const Palette& palette, rules::Standing standing) {
  switch (standing) {
    case rules::Standing::Good:
      return palette.good;
    case rules::Standing::Watch:
      return palette.watch;
    case rules::Standing::Act:
      return palette.act;
    case rules::Standing::TooCloseToTell:
      return palette.unsure;
    case rules::Standing::NotKnownYet:
    case rules::Standing::NotApplicable:
      return palette.unknown;
  }
  return palette.unknown;
}

void apply_theme(Shade shade, float scale) {
  ImGuiStyle style;
  set_sizes(style);
  style.ScaleAllSizes(scale);
  set_text_and_ground(style, palette(shade));
  set_controls(style, palette(shade));
  ImGui::GetStyle() = style;
}

}  // namespace spile::gui
