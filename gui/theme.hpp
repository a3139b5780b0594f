// The look: two palettes of named roles, sizes, and the style made from them. Why it looks as it does stands
// in gui/LOOK.md; that every text is readable is checked by tests/gui/contrast_test.cpp.
#pragma once

#include <imgui.h>

#include <array>
#include <string_view>

#include "rules/verdict.hpp"

namespace spile::gui {

enum class Shade { Light, Dark };

// sRGB, 0..1.
struct Colour {
  float r = 0, g = 0, b = 0;
  [[nodiscard]] ImVec4 vec(float alpha = 1) const { return {r, g, b, alpha}; }
  [[nodiscard]] ImU32 u32(float alpha = 1) const;
};

[[nodiscard]] constexpr Colour hex(unsigned rgb) {
  return {static_cast<float>((rgb >> 16U) & 255U) / 255.0F, static_cast<float>((rgb >> 8U) & 255U) / 255.0F,
          static_cast<float>(rgb & 255U) / 255.0F};
}
[[nodiscard]] Colour blend(Colour from, Colour to, float share);

// Contrast ratio of two colours, 1..21 (WCAG 2.1, "contrast ratio" and "relative luminance").
[[nodiscard]] double contrast(Colour a, Colour b);

// A state's colour as ink and as the ground behind it.
struct Tone {
  Colour ink, tint;
};

struct Palette {
  Colour ground;     // behind the panes
  Colour pane;       // what text stands on
  Colour raised;     // headers of panes and tables
  Colour field;      // what can be typed into
  Colour line;       // between things
  Colour edge;       // around what can be typed into or pressed
  Colour ink;        // text
  Colour soft;       // labels and second thoughts
  Colour faint;      // what is disabled
  Colour accent;     // what can be pressed, where the keyboard is
  Colour on_accent;  // text on it
  Colour selected;   // the row in hand
  Colour hovered;
  Tone good, watch, act, unsure, unknown;
  Colour photo_ground;               // neutral, so that it does not tint the eye
  Colour reference, found, by_hand;  // lines over a photo
  Colour crack, stain, chip, other;  // the same, of what has changed between two
  Colour halo;                       // around those lines, so that they show on any hull
};

[[nodiscard]] const Palette& palette(Shade shade);

// A state at a glance: shape, word and colour say the same.
enum class MarkShape { Disc, Square, Triangle, Diamond, Ring, Dash };
struct StandingLook {
  MarkShape shape;
  std::string_view word;      // "act"
  std::string_view sentence;  // "Something has to be done"
};
[[nodiscard]] StandingLook look_of(rules::Standing standing);
[[nodiscard]] Tone tone_of(const Palette& palette, rules::Standing standing);

// Sets colours and sizes of the current ImGui context from a fresh style, so that scales never compound.
void apply_theme(Shade shade, float scale);

}  // namespace spile::gui
