// Corrections by hand: what a person placed is kept with the value, and says so.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "app/photos.hpp"
#include "support.hpp"

namespace spile::app {
namespace {

using model::Method;
using model::Quantity;
using test::must;
using testing::IsEmpty;
using testing::SizeIs;

vision::Report hole_report() {
  vision::Report report;
  report.width_px = 1600;
  report.height_px = 1000;
  report.reference = vision::Reference{"card", 0.1, 3.0, 0.002, {{0, 0}, {700, 0}, {700, 450}, {0, 450}}, {}};
  vision::Hole hole;
  hole.centre_px = test::kHoleCentre;
  hole.diameter_mm = 38.1;
  hole.u95_mm = 0.12;
  hole.ovality_pct = 1.1;
  hole.edge_damage_mm = 0.8;
  hole.chips = {{{400, 300}, 0.8, 0.3, 2.5, 7.5, {{395, 295}, {405, 295}, {400, 305}}}};
  hole.depth_mm = 14.9;
  hole.depth_u95_mm = 0.9;
  hole.outline = {{1, 1}, {2, 1}, {2, 2}};
  hole.budget = {{"reference corners", 0.05}};
  report.holes.push_back(hole);
  return report;
}

std::vector<model::Measurement> records(const vision::Report& report, const vision::Request& request = {},
                                        std::size_t hole = 0) {
  return records_of(report, request, model::OpeningId{1}, model::SurveyId{2}, model::PhotoId{3}, hole);
}

const model::Measurement& of(const std::vector<model::Measurement>& records, Quantity quantity) {
  for (const auto& m : records)
    if (m.quantity == quantity) return m;
  throw std::runtime_error("not recorded");
}

TEST(RecordsOf, AHoleGivesDiameterOvalityChipAndDepth) {
  const auto all = records(hole_report());
  ASSERT_THAT(all, SizeIs(4));
  const auto& diameter = of(all, Quantity::HoleDiameter);
  EXPECT_DOUBLE_EQ(diameter.value, 38.1);
  EXPECT_DOUBLE_EQ(diameter.u95, 0.12);
  EXPECT_EQ(diameter.method, Method::PhotoAuto);
  EXPECT_EQ(diameter.opening, model::OpeningId{1});
  EXPECT_EQ(diameter.survey, model::SurveyId{2});
  EXPECT_EQ(diameter.photo, model::PhotoId{3});
  EXPECT_EQ(diameter.instrument, vision::engine_name());
  ASSERT_TRUE(diameter.trace);
  EXPECT_EQ(diameter.trace->reference_kind, "card");
  EXPECT_THAT(diameter.trace->reference_outline, SizeIs(4));
  EXPECT_EQ(diameter.trace->centre, test::kHoleCentre);
  EXPECT_THAT(diameter.trace->by_hand, IsEmpty());
  EXPECT_DOUBLE_EQ(of(all, Quantity::LaminateThickness).value, 14.9);
  for (const auto& m : all) EXPECT_GT(m.u95, 0);
}

TEST(RecordsOf, TheDeepestChipIsRecordedWithItsOwnIntervalAndPlace) {
  const auto all = records(hole_report());
  const auto& chip = of(all, Quantity::EdgeDamage);
  EXPECT_DOUBLE_EQ(chip.value, 0.8);
  EXPECT_DOUBLE_EQ(chip.u95, 0.3);
  ASSERT_TRUE(chip.trace);
  EXPECT_THAT(chip.trace->outline, SizeIs(3));
}

TEST(RecordsOf, AWholeRimHasNoChipOnRecord) {
  auto report = hole_report();
  report.holes[0].edge_damage_mm = 0;
  report.holes[0].chips.clear();
  for (const auto& m : records(report)) EXPECT_NE(m.quantity, Quantity::EdgeDamage);
}

TEST(RecordsOf, RimPointsByHandAreKept) {
  auto report = hole_report();
  report.holes[0].by_hand = true;
  vision::Request request;
  request.rim_by_hand = {{10, 20}, {30, 40}, {50, 60}};
  const auto all = records(report, request);
  const auto& diameter = of(all, Quantity::HoleDiameter);
  EXPECT_EQ(diameter.method, Method::PhotoByHand);
  EXPECT_EQ(diameter.trace->by_hand, request.rim_by_hand);
}

TEST(RecordsOf, AScaleFromTwoPointsByHandSaysSo) {
  vision::Request request;
  request.reference = vision::PointsReference{{100, 100}, {800, 100}, 70};
  const auto all = records(hole_report(), request);
  const auto& diameter = of(all, Quantity::HoleDiameter);
  EXPECT_EQ(diameter.method, Method::PhotoByHand);
  EXPECT_EQ(diameter.trace->reference_length_mm, 70);
  EXPECT_EQ(diameter.trace->reference_outline, (std::vector<model::PixelPoint>{{100, 100}, {800, 100}}));
  EXPECT_FALSE(diameter.note.empty());
}

TEST(RecordsOf, AnEdgeByHandKeepsItsLines) {
  vision::Report report = hole_report();
  report.holes.clear();
  report.edge =
      vision::Edge{14.8, 0.3, "single-skin", {{"gelcoat", 0.6, 0.1}, {"laminate", 14.2, 0.3}}, {}, true, {}};
  vision::Request request;
  request.edge_by_hand = {{0, 0}, {100, 0}, {0, 148}, {100, 148}};
  const auto all = records(report, request);
  ASSERT_THAT(all, SizeIs(3));
  EXPECT_EQ(of(all, Quantity::LaminateThickness).trace->by_hand, request.edge_by_hand);
  EXPECT_EQ(of(all, Quantity::LaminateThickness).method, Method::PhotoByHand);
  EXPECT_EQ(all[1].label, "gelcoat");
  EXPECT_EQ(all[2].label, "laminate");
}

TEST(RecordsOf, ADiscIsNoHoleAndARefusalGivesNothing) {
  auto report = hole_report();
  report.holes[0].rim = "disc";
  EXPECT_THAT(records(report), IsEmpty());
  report = hole_report();
  report.refused = vision::Refusal{"too-tilted", "Too oblique."};
  EXPECT_THAT(records(report), IsEmpty());
  EXPECT_THAT(records(hole_report(), {}, 5), IsEmpty());
}

TEST(OneLine, SaysWhatWasMeasuredOrWhyNot) {
  EXPECT_EQ(one_line(hole_report()), "hole 38.10 ± 0.12 mm, laminate 14.90 ± 0.90 mm, chip 0.80 ± 0.30 mm");
  vision::Report refused;
  refused.refused = vision::Refusal{"too-tilted", "The camera was too oblique."};
  EXPECT_EQ(one_line(refused), "not measured: The camera was too oblique.");
}

// The whole way: measured by itself, corrected with rim points on the drawn circle, stored, undone.
TEST(ByHand, ACorrectionSupersedesWhatThePhotoSaid) {
  const test::TempFolder folder;
  auto session = test::logbook_with_opening(folder / "heron");
  const auto opening = test::id_of(session);
  ImportOptions options;
  options.opening = opening;
  const auto outcomes = import_photos(session, {test::draw(folder / "a.png", {.hole_mm = 38})}, options);
  ASSERT_TRUE(outcomes.at(0).use);
  const auto photo = session.snapshot().find(opening)->photos.at(0).photo.id;
  vision::Request request;
  const double radius = 19 * test::kPixelsPerMm;
  for (int i = 0; i < 5; ++i) {
    const double turn = 2 * std::numbers::pi * i / 5;
    request.rim_by_hand.push_back(
        {test::kHoleCentre.x + radius * std::cos(turn), test::kHoleCentre.y + radius * std::sin(turn)});
  }
  const auto picture = must(vision::Picture::load(folder / "a.png"));
  const auto report = vision::measure(picture, request);
  ASSERT_FALSE(report.refused) << report.refused->reason;
  ASSERT_FALSE(report.holes.empty());
  EXPECT_TRUE(report.holes[0].by_hand);
  const auto before = session.snapshot().find(opening)->measurements;
  must(session.record_measurements("Move rim point, P-03",
                                   records_of(report, request, opening, *session.snapshot().survey, photo)));
  EXPECT_EQ(session.snapshot().undo_name, "Move rim point, P-03");
  int diameters = 0;
  for (const auto& m : session.snapshot().find(opening)->measurements) {
    if (m.quantity != Quantity::HoleDiameter) continue;
    ++diameters;
    EXPECT_EQ(m.method, Method::PhotoByHand);
    EXPECT_TRUE(m.supersedes);
    EXPECT_EQ(m.trace->by_hand, request.rim_by_hand);
    EXPECT_EQ(m.trace->reference_kind, "card");
    EXPECT_NEAR(m.value, 38, 0.38);  // as drawn
  }
  EXPECT_EQ(diameters, 1);
  must(session.undo());
  EXPECT_THAT(session.snapshot().find(opening)->measurements, SizeIs(before.size()));
}

}  // namespace
}  // namespace spile::app
