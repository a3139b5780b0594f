// What is drawn over a photo, from reports and from records.
#include "gui/overlay.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace spile::gui {
namespace {

std::vector<model::PixelPoint> circle(double x, double y, double r) {
  std::vector<model::PixelPoint> out;
  for (int i = 0; i < 72; ++i) {
    const double a = 2 * std::numbers::pi * i / 72;
    out.push_back({x + r * std::cos(a), y + r * std::sin(a)});
  }
  return out;
}

TEST(Overlay, MarksTheHoleThatIsMeant) {
  vision::Report report;
  report.reference = vision::Reference{};
  report.reference->kind = "card";
  report.reference->outline = {{0, 0}, {10, 0}, {10, 10}};
  for (const double r : {50.0, 20.0}) {
    vision::Hole hole;
    hole.outline = circle(100, 100, r);
    hole.diameter_mm = r;
    hole.u95_mm = 0.1;
    report.holes.push_back(hole);
  }
  const Overlay overlay = overlay_of(report, 1, false, units::LengthSystem::Metric);
  ASSERT_EQ(overlay.shapes.size(), 3U);
  EXPECT_EQ(overlay.shapes[0].kind, OverlayShape::Kind::Reference);
  EXPECT_FALSE(overlay.shapes[1].chosen);
  EXPECT_TRUE(overlay.shapes[2].chosen);
  EXPECT_EQ(overlay.shapes[2].label, "⌀ 20.00 ± 0.10 mm");
}

TEST(Overlay, ShowsChipsOfTheHoleThatIsMeantAndTheSizeOfANut) {
  vision::Report report;
  report.holes.resize(2);
  report.holes[0].outline = circle(100, 100, 50);
  report.holes[1].outline = circle(300, 100, 20);
  report.holes[1].chips = {{{320, 100}, 1.2, 0.3, 4, 9, circle(320, 100, 3)},
                           {{280, 100}, 0.6, 0.2, 3, 7, circle(280, 100, 2)}};
  vision::Hexagon& hexagon = report.fitting.emplace().hexagon.emplace();
  hexagon.across_flats_mm = 45.6;
  hexagon.u95_mm = 0.4;
  hexagon.corners = circle(200, 300, 30);
  EXPECT_EQ(overlay_of(report, 0, false, units::LengthSystem::Metric).shapes.size(), 3U);
  const Overlay overlay = overlay_of(report, 1, false, units::LengthSystem::Metric);
  ASSERT_EQ(overlay.shapes.size(), 5U);
  EXPECT_EQ(overlay.shapes[2].kind, OverlayShape::Kind::Chip);
  EXPECT_EQ(overlay.shapes[2].label, "chip 1.20 ± 0.30 mm");
  EXPECT_EQ(overlay.shapes[3].label, "");
  EXPECT_EQ(overlay.shapes[4].label, "across flats 45.60 ± 0.40 mm");
}

TEST(Overlay, DrawsWhatIsRecordedOfThisPhotoOnly) {
  app::OpeningView opening;
  model::Measurement m;
  m.quantity = model::Quantity::HoleDiameter;
  m.value = 38.12;
  m.u95 = 0.11;
  m.photo = model::PhotoId{7};
  m.method = model::Method::PhotoByHand;
  m.trace = model::Trace{};
  m.trace->reference_kind = "card";
  m.trace->reference_outline = {{0, 0}, {1, 0}, {1, 1}};
  m.trace->outline = circle(5, 5, 3);
  m.trace->centre = model::PixelPoint{5, 5};
  opening.measurements = {m, m, m};
  opening.measurements[1].quantity = model::Quantity::HoleOvality;
  opening.measurements[2].photo = model::PhotoId{8};
  const Overlay overlay = overlay_of(opening, model::PhotoId{7}, units::LengthSystem::Metric);
  ASSERT_EQ(overlay.shapes.size(), 2U);
  EXPECT_EQ(overlay.shapes[1].label, "⌀ 38.12 ± 0.11 mm");
  EXPECT_TRUE(overlay.shapes[1].by_hand);
}

TEST(Overlay, HandlesLieOnTheOutlineEvenly) {
  const auto handles = handles_on(circle(0, 0, 10), 6);
  ASSERT_EQ(handles.size(), 6U);
  for (const auto& h : handles) EXPECT_NEAR(std::hypot(h.x, h.y), 10, 1e-9);
  EXPECT_NEAR(handles[3].x, -10, 1e-9);
}

TEST(Overlay, KnowsWhatLiesInside) {
  const auto outline = circle(50, 50, 10);
  EXPECT_TRUE(encloses(outline, {50, 50}));
  EXPECT_TRUE(encloses(outline, {58, 50}));
  EXPECT_FALSE(encloses(outline, {61, 50}));
  EXPECT_FALSE(encloses(outline, {58, 58}));
}

}  // namespace
}  // namespace spile::gui
