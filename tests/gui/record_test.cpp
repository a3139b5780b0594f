// The record of an opening: every field is a step of its own, typed values say how they were read, what is
// missing leads to its field.
#include "gui/views/record.hpp"

#include <gmock/gmock.h>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

using model::Quantity;

class RecordTest : public WindowTest {
 protected:
  void SetUp() override { make_opening(); }
  const model::Observation& seen() { return *window().opening("P-01").observation; }
};

TEST_F(RecordTest, EveryFieldOfTheSurveyIsKept) {
  Driver& w = window();
  w.click("record.condition/poor");
  w.click("record.waterline/wetted-when-heeled");
  w.click("record.valve/stiff");
  w.choose("record.valve_kind", "flanged-ball");
  w.click("record.backing/present");
  w.choose("record.backing_material", "glass-epoxy");
  w.fill("record.backing_thickness", "1/2");
  w.fill("record.hose", "38 mm, two clamps");
  w.fill("record.notes", "");
  w.settle();
  EXPECT_EQ(seen().condition, model::Condition::Poor);
  EXPECT_EQ(seen().waterline, model::Waterline::WettedWhenHeeled);
  EXPECT_EQ(seen().valve, model::ValveState::Stiff);
  EXPECT_EQ(seen().valve_kind, "flanged-ball");
  EXPECT_EQ(seen().backing_material, "glass-epoxy");
  EXPECT_NEAR(seen().backing_thickness_mm.value(), 12.7, 1e-9) << "a bare fraction is inches";
  EXPECT_EQ(seen().hose, "38 mm, two clamps");
}

TEST_F(RecordTest, NotesAreKeptWhenTheSelectionMovesOnMidWord) {
  Driver& w = window();
  w.click("record.notes");
  w.write("Weeps at the nut");
  w.key(Key::N, true);  // another opening, without leaving the field
  w.settle();
  EXPECT_EQ(w.desk().selected()->opening.tag, "P-02");
  EXPECT_EQ(seen().notes, "Weeps at the nut");
}

TEST_F(RecordTest, CtrlZInATextIsTheTextsOwn) {
  Driver& w = window();
  w.click("record.condition/poor");
  w.click("record.hose");
  w.write("old");
  w.key(Key::Z, true);
  EXPECT_EQ(seen().condition, model::Condition::Poor);
  w.key(Key::Escape);
  w.click("record.hose");
  w.key(Key::Z, true);  // nothing typed here: the logbook's turn
  w.settle();
  EXPECT_TRUE(!w.opening("P-01").observation || seen().condition == model::Condition::Unknown);
}

TEST_F(RecordTest, ATypedLengthWithoutUnitFollowsTheWindow) {
  Driver& w = window();
  w.fill("record.type.value", "15");
  w.settle();
  EXPECT_NEAR(measured("P-01", Quantity::LaminateThickness).value, 15, 1e-9);
  w.key(Key::U, true, true);  // inches
  w.fill("record.type.value", "0.75");
  w.settle();
  EXPECT_NEAR(measured("P-01", Quantity::LaminateThickness).value, 19.05, 1e-9);
}

TEST_F(RecordTest, WhatIsNoLengthIsNotRecorded) {
  Driver& w = window();
  w.fill("record.type.value", "about so thick");
  w.settle();
  EXPECT_TRUE(w.opening("P-01").measurements.empty());
  w.fill("record.height", "deep");
  w.settle();
  EXPECT_FALSE(w.opening("P-01").opening.height_mm);
}

TEST_F(RecordTest, MethodAndQuantityAreChosen) {
  Driver& w = window();
  w.choose("record.type.quantity", "hole-diameter");
  w.choose("record.type.method", "steel-rule");
  w.fill("record.type.value", "1-1/2 in");
  w.settle();
  const auto m = measured("P-01", Quantity::HoleDiameter);
  EXPECT_NEAR(m.value, 38.1, 1e-9);
  EXPECT_EQ(m.method, model::Method::SteelRule);
  EXPECT_GT(m.u95, 0);
  w.click("record.withdraw." + std::to_string(m.id.value));
  w.settle();
  EXPECT_TRUE(w.opening("P-01").measurements.empty());
  w.key(Key::Z, true);
  EXPECT_EQ(w.opening("P-01").measurements.size(), 1U);
}

TEST_F(RecordTest, FittingIsKept) {
  Driver& w = window();
  w.choose("record.fitting_kind", "mushroom");
  w.choose("record.fitting_made_of", "silicon-bronze");
  w.fill("record.fitting_size", "1-1/2 in");
  w.settle();
  const auto fitting = w.opening("P-01").fitting.value();
  EXPECT_EQ(fitting.kind, "mushroom");
  EXPECT_EQ(fitting.material, "silicon-bronze");
  EXPECT_EQ(fitting.nominal_size, "1-1/2 in");
}

TEST_F(RecordTest, TheUsualForItsServiceIsOnePressAway) {
  Driver& w = window();
  w.choose("record.service", "cockpit-drain");
  w.settle();
  w.click("record.usual");
  w.settle();
  EXPECT_EQ(w.opening("P-01").fitting.value().kind, "flanged-seacock");
  EXPECT_EQ(w.opening("P-01").fitting.value().nominal_size, "1-1/2 in");
  EXPECT_FALSE(w.sees("record.usual")) << "what is recorded is not overwritten";
}

TEST_F(RecordTest, TheNextFittingRoomAndFindingsAreKept) {
  Driver& w = window();
  w.fill("record.next_shank", "33.4");
  w.fill("record.clear_depth", "310");
  w.click("record.reach/with-tools");
  w.fill("record.clips", "2");
  w.choose("record.findings", "weeping");
  w.settle();
  const auto& view = w.opening("P-01");
  EXPECT_EQ(view.fitting.value().next.shank_mm, 33.4);
  EXPECT_EQ(view.opening.clear_depth_mm, 310);
  EXPECT_EQ(view.opening.reach, model::Reach::WithTools);
  EXPECT_EQ(seen().clips, 2);
  EXPECT_THAT(seen().findings, testing::ElementsAre("weeping"));
}

TEST_F(RecordTest, WhatAFieldChangedInTheVerdictsIsSaid) {
  Driver& w = window();
  w.click("record.valve/seized");
  w.settle();
  const auto& changed = w.logbook().changed;
  EXPECT_TRUE(
      std::any_of(changed.begin(), changed.end(), [](const auto& c) { return c.rule == "shut-off"; }));
}

TEST_F(RecordTest, EverythingMissingLeadsToAField) {
  Driver& w = window();
  w.click("record.backing/present");
  w.click("record.valve/stiff");
  const auto missing = w.opening("P-01").missing;
  ASSERT_FALSE(missing.empty());
  for (const auto& phrase : missing) EXPECT_FALSE(field_of_missing(phrase).empty()) << phrase;
}

TEST_F(RecordTest, AMissingThingIsOnePressAway) {
  Driver& w = window();
  const auto missing = w.opening("P-01").missing;
  const auto at = std::find(missing.begin(), missing.end(), "height above the waterline") - missing.begin();
  ASSERT_LT(static_cast<std::size_t>(at), missing.size());
  w.click("record.missing." + std::to_string(at));
  w.frame(3);
  w.write("-120");
  w.key(Key::Enter);
  w.settle();
  EXPECT_NEAR(w.opening("P-01").opening.height_mm.value(), -120, 1e-9);
}

TEST_F(RecordTest, SurveysAreBegunAndChosen) {
  Driver& w = window();
  w.click("record.condition/worn");
  w.key(Key::F3);
  w.frame(2);
  w.click("surveys.begin");
  w.settle();
  ASSERT_EQ(w.logbook().surveys.size(), 2U);
  EXPECT_FALSE(w.opening("P-01").observation) << "nothing has been seen in the new survey";
  const auto first = w.logbook().surveys.front().id;
  w.click("surveys.choose." + std::to_string(first.value));
  w.settle();
  EXPECT_EQ(seen().condition, model::Condition::Worn);
}

}  // namespace
}  // namespace spile::gui
