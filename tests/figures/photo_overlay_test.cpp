#include "figures/photo_overlay.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace spile::figures {
namespace {

model::Measurement hole() {
  model::Measurement m;
  m.quantity = model::Quantity::HoleDiameter;
  m.value = 38.123;
  m.u95 = 0.114;
  m.method = model::Method::PhotoAuto;
  model::Trace trace;
  trace.reference_kind = "card";
  trace.reference_outline = {{100, 100}, {500, 100}, {500, 400}, {100, 400}};
  for (int i = 0; i < 72; ++i)
    trace.outline.push_back({800 + 100 * std::cos(i * 0.0872665), 600 + 100 * std::sin(i * 0.0872665)});
  trace.centre = model::PixelPoint{800, 600};
  m.trace = trace;
  return m;
}

TEST(PhotoOverlay, DrawsReferenceAndRimAtThePhotosScale) {
  const std::vector<model::Measurement> all = {hole()};
  const Figure figure = photo_overlay(1600, 1200, all, 80);
  EXPECT_DOUBLE_EQ(figure.width, 80);
  EXPECT_DOUBLE_EQ(figure.height, 60);
  int reference = 0, rim = 0;
  std::string words;
  for (const auto& item : figure.items) {
    if (const auto* line = std::get_if<Polyline>(&item)) {
      if (line->stroke == Role::Reference) {
        ++reference;
        // Pixel 100 has its centre 100.5 pixels from the edge; 20 pixels are a millimetre here.
        EXPECT_NEAR(line->points[0].x, 100.5 / 20, 1e-9);
        EXPECT_NEAR(line->points[2].y, 400.5 / 20, 1e-9);
      }
      if (line->stroke == Role::Found && line->closed) {
        ++rim;
        EXPECT_NEAR(line->points[0].x, 900.5 / 20, 1e-9);
      }
    }
    if (const auto* label = std::get_if<Label>(&item)) words += label->text;
  }
  EXPECT_EQ(reference, 1);
  EXPECT_EQ(rim, 1);
  EXPECT_EQ(words, "Ø 38.12 ± 0.11 mm");
}

TEST(PhotoOverlay, SaysWhatWasDoneByHand) {
  model::Measurement m = hole();
  m.method = model::Method::PhotoByHand;
  m.trace->by_hand = {{900, 600}, {700, 600}, {800, 700}};
  int marks = 0;
  bool by_hand = false;
  const std::vector<model::Measurement> all = {m};
  for (const auto& item : photo_overlay(1600, 1200, all, 80).items) {
    if (const auto* mark = std::get_if<Mark>(&item)) {
      ++marks;
      EXPECT_EQ(mark->role, Role::ByHand);
    }
    if (const auto* line = std::get_if<Polyline>(&item)) by_hand = by_hand || line->stroke == Role::ByHand;
  }
  EXPECT_EQ(marks, 3);
  EXPECT_TRUE(by_hand);
}

TEST(PhotoOverlay, KeepsSeveralValuesOfOneRimApart) {
  model::Measurement depth = hole();
  depth.quantity = model::Quantity::LaminateThickness;
  depth.value = 14.9;
  depth.u95 = 0.8;
  const std::vector<model::Measurement> all = {hole(), depth};
  std::vector<double> baselines;
  for (const auto& item : photo_overlay(1600, 1200, all, 80).items)
    if (const auto* label = std::get_if<Label>(&item)) {
      baselines.push_back(label->at.y);
      EXPECT_GE(label->at.x, 0);
      EXPECT_LE(label->at.y, 60);
    }
  ASSERT_EQ(baselines.size(), 2U);
  EXPECT_GT(std::abs(baselines[0] - baselines[1]), 2.9);
}

TEST(PhotoOverlay, LeavesTheCutEdgeInSight) {
  model::Measurement total;
  total.quantity = model::Quantity::LaminateThickness;
  total.value = 18.4;
  total.u95 = 0.1;
  total.trace = model::Trace{};
  total.trace->outline = {{300, 500}, {600, 500}, {300, 520}, {600, 520}, {300, 700}, {600, 700}};
  model::Measurement layer = total;
  layer.quantity = model::Quantity::LayerThickness;
  layer.label = "core";
  const std::vector<model::Measurement> all = {total, layer, layer, layer};
  int plates = 0, lines = 0;
  for (const auto& item : photo_overlay(1600, 1200, all, 80).items) {
    if (const auto* label = std::get_if<Label>(&item)) {
      ++plates;
      EXPECT_EQ(label->text, "thickness 18.40 ± 0.10 mm");
      // Clear of the lines between pixels 300..600 and 500..700.
      const bool beside =
          label->at.x > 600 / 20.0 || label->at.y < 500 / 20.0 || label->at.y > 700 / 20.0 + 2;
      EXPECT_TRUE(beside);
    }
    if (const auto* line = std::get_if<Polyline>(&item)) lines += line->stroke == Role::Found;
  }
  EXPECT_EQ(plates, 1);
  EXPECT_EQ(lines, 3);
}

TEST(PhotoOverlay, FindsThePartThatMatters) {
  const std::vector<model::Measurement> all = {hole()};
  const PixelBox box = part_that_matters(1600, 1200, all, 0.1);
  EXPECT_NEAR(box.left, 100 - 80, 1);
  EXPECT_NEAR(box.left + box.width, 900 + 80, 1);
  EXPECT_NEAR(box.top, 20, 1);
  EXPECT_NEAR(box.top + box.height, 780, 1);
  const PixelBox whole = part_that_matters(1600, 1200, {}, 0.1);
  EXPECT_EQ(whole.width, 1600);
  EXPECT_EQ(whole.height, 1200);
}

}  // namespace
}  // namespace spile::figures
