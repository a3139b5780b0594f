// Every text of the window against every ground it stands on.
// Source: WCAG 2.1, success criteria 1.4.3 (contrast, minimum: 4.5 to 1 for text) and 1.4.11 (3 to 1 for what
// has to be seen to use a control), W3C Recommendation.
#include <gtest/gtest.h>

#include "gui/theme.hpp"

namespace spile::gui {
namespace {

TEST(Contrast, FollowsThePublishedDefinition) {
  // Black on white is 21 to 1 by the definition itself.
  EXPECT_NEAR(contrast(hex(0x000000), hex(0xFFFFFF)), 21.0, 1e-6);
  EXPECT_NEAR(contrast(hex(0x777777), hex(0x777777)), 1.0, 1e-9);
  // The well-known greys on either side of AA on white: #767676 passes with 4.54, #777777 fails with 4.48.
  EXPECT_NEAR(contrast(hex(0x767676), hex(0xFFFFFF)), 4.54, 0.005);
  EXPECT_NEAR(contrast(hex(0x777777), hex(0xFFFFFF)), 4.48, 0.005);
}

class PaletteTest : public testing::TestWithParam<Shade> {};

constexpr double kText = 4.5;
constexpr double kControl = 3.0;

TEST_P(PaletteTest, TextIsReadableOnEveryGround) {
  const Palette& p = palette(GetParam());
  for (const Colour ground : {p.ground, p.pane, p.raised, p.field, p.selected, p.hovered}) {
    EXPECT_GE(contrast(p.ink, ground), kText);
    EXPECT_GE(contrast(p.soft, ground), kText);
  }
  EXPECT_GE(contrast(p.on_accent, p.accent), kText);
  EXPECT_GE(contrast(p.accent, p.pane), kText);  // links and headings
  EXPECT_GE(contrast(p.accent, p.ground), kText);
}

TEST_P(PaletteTest, StatesAreReadableOnPaneRowAndTint) {
  const Palette& p = palette(GetParam());
  for (const Tone& tone : {p.good, p.watch, p.act, p.unsure, p.unknown}) {
    for (const Colour ground : {p.pane, p.selected, p.hovered, tone.tint})
      EXPECT_GE(contrast(tone.ink, ground), kText);
    EXPECT_GE(contrast(p.ink, tone.tint), kText);  // the words of a caution stand in plain ink
  }
}

TEST_P(PaletteTest, ControlsShowTheirEdges) {
  const Palette& p = palette(GetParam());
  for (const Colour ground : {p.pane, p.field}) {
    EXPECT_GE(contrast(p.edge, ground), kControl);
    EXPECT_GE(contrast(p.accent, ground), kControl);
  }
}

TEST_P(PaletteTest, LinesOverAPhotoShowAgainstTheirHalo) {
  const Palette& p = palette(GetParam());
  for (const Colour line : {p.reference, p.found, p.by_hand, p.crack, p.stain, p.chip, p.other})
    EXPECT_GE(contrast(line, p.halo), kText);
}

INSTANTIATE_TEST_SUITE_P(BothThemes, PaletteTest, testing::Values(Shade::Light, Shade::Dark),
                         [](const auto& theme) { return theme.param == Shade::Light ? "Light" : "Dark"; });

TEST(StandingLook, DiffersByShapeAndWordNotOnlyByColour) {
  using rules::Standing;
  const Standing all[] = {Standing::Good,           Standing::Watch,       Standing::Act,
                          Standing::TooCloseToTell, Standing::NotKnownYet, Standing::NotApplicable};
  for (const Standing a : all)
    for (const Standing b : all) {
      if (a == b) continue;
      EXPECT_NE(look_of(a).shape, look_of(b).shape);
      EXPECT_NE(look_of(a).word, look_of(b).word);
    }
}

}  // namespace
}  // namespace spile::gui
