// The main job from the first start to finding everything again, with real widgets: what a person does with a
// new craft and one photo. The photo is drawn by tests/scenes; its true diameter stands in
// tests/scenes/demo_pictures.json (s01-hole-2026.jpg: 35.2 mm).
#include <gmock/gmock.h>

#include "tests/gui/fixture.hpp"

namespace spile::gui {
namespace {

using model::Method;
using model::Quantity;
constexpr double kTrueDiameter = 35.2;
constexpr const char* kPhoto = "s01-hole-2026.jpg";

class MainPath : public WindowTest {
 protected:
  void describe_vessel() {
    Driver& w = window();
    w.fill("vessel.name", "Marsh Hen");
    w.choose("vessel.construction", "single-skin");
    w.fill("vessel.length", "9.2");
    w.fill("vessel.beam", "3");
    w.fill("vessel.heel", "25");
    const model::Vessel vessel = w.logbook().vessel.value();
    EXPECT_EQ(vessel.name, "Marsh Hen");
    EXPECT_EQ(vessel.construction, model::HullConstruction::SingleSkin);
    EXPECT_NEAR(vessel.length_mm.value(), 9200, 1e-9);
    EXPECT_NEAR(vessel.heel_deg.value(), 25, 1e-9);
  }

  void add_opening() {
    Driver& w = window();
    w.key(Key::N, true);
    w.settle();
    w.choose("record.service", "galley-sink-drain");
    w.fill("record.height", "-250");
    w.fill("record.from_bow", "4.1 m");
    w.fill("record.half_breadth", "0.9 m");
    EXPECT_EQ(w.opening("P-01").opening.service, "galley-sink-drain");
    EXPECT_NEAR(w.opening("P-01").opening.height_mm.value(), -250, 1e-9);
  }

  void drop_photo() {
    Driver& w = window();
    w.drop({demo_photo(kPhoto)}, w.middle_of("bench.import"));
    ASSERT_EQ(w.opening("P-01").photos.size(), 1U);
    const auto found = measured("P-01", Quantity::HoleDiameter);
    EXPECT_EQ(found.method, Method::PhotoAuto);
    EXPECT_NEAR(found.value, kTrueDiameter, 0.01 * kTrueDiameter);
    EXPECT_TRUE(w.sees("bench.canvas"));
    ASSERT_EQ(w.desk().bench().load, BenchState::Load::Ready);
  }

  // One handle of the rim that was found, pulled away and put back: the other five stay what they were.
  void correct_by_hand() {
    Driver& w = window();
    w.key(Key::R);
    ASSERT_TRUE(w.sees("bench.handle.0"));
    const ImVec2 rim = w.middle_of("bench.handle.0"), other = w.middle_of("bench.handle.3");
    w.drag(rim, {rim.x + 30, rim.y + 20});
    w.settle();
    EXPECT_EQ(w.desk().bench().draft.rim.size(), 6U);
    EXPECT_NEAR(w.middle_of("bench.rim.3").x, other.x, 1.5);
    EXPECT_NEAR(w.middle_of("bench.rim.3").y, other.y, 1.5);
    w.drag(w.middle_of("bench.rim.0"), rim);
    w.settle();
    ASSERT_TRUE(w.desk().bench().report);
    EXPECT_TRUE(w.desk().bench().by_hand);
    ASSERT_FALSE(w.desk().bench().report->refused) << w.desk().bench().report->refused->reason;
    EXPECT_TRUE(w.sees("bench.answer"));
    w.key(Key::Enter, true);
    w.settle();
    const auto corrected = measured("P-01", Quantity::HoleDiameter);
    EXPECT_EQ(corrected.method, Method::PhotoByHand);
    EXPECT_NEAR(corrected.value, kTrueDiameter, 0.03 * kTrueDiameter);
    EXPECT_TRUE(corrected.supersedes) << "the automatic reading is superseded, not lost";
  }

  void record_what_was_seen() {
    Driver& w = window();
    w.fill("record.type.value", "14.8 mm");
    w.settle();
    EXPECT_NEAR(measured("P-01", Quantity::LaminateThickness).value, 14.8, 1e-9);
    EXPECT_EQ(measured("P-01", Quantity::LaminateThickness).method, Method::Caliper);
    w.click("record.condition/worn");
    w.click("record.waterline/below-waterline");
    w.choose("record.material", "tin-bronze");
    w.click("record.backing/none");
    const model::Observation seen = w.opening("P-01").observation.value();
    EXPECT_EQ(seen.condition, model::Condition::Worn);
    EXPECT_EQ(seen.waterline, model::Waterline::Below);
    EXPECT_EQ(seen.fitting_material, "tin-bronze");
    EXPECT_EQ(seen.backing, model::Backing::None);
    EXPECT_EQ(seen.seen, model::Seen::Looked);
  }

  void read_the_verdict() {
    Driver& w = window();
    w.frame(2);
    EXPECT_TRUE(w.sees("verdict.zone"));
    EXPECT_TRUE(w.sees("verdict.reinforcement"));
    EXPECT_EQ(verdict("P-01", "zone").answer, "below-waterline");
    // 14.8 mm of solid laminate is less than the 3/4 in (19.05 mm) below which common practice wants a block.
    EXPECT_EQ(verdict("P-01", "reinforcement").standing, rules::Standing::Act);
    EXPECT_FALSE(verdict("P-01", "reinforcement").reasons.empty());
    EXPECT_EQ(w.opening("P-01").standing, rules::Standing::Act);
  }

  int undo_everything() {
    Driver& w = window();
    int steps = 0;
    while (w.desk().undo_name() && steps < 100) {
      w.key(Key::Z, true);
      ++steps;
    }
    EXPECT_TRUE(w.logbook().openings.empty());
    EXPECT_FALSE(w.logbook().vessel);
    EXPECT_TRUE(w.logbook().surveys.empty());
    return steps;
  }

  void redo_everything(int steps) {
    for (int i = 0; i < steps; ++i) window().key(Key::Z, true, true);
    EXPECT_FALSE(window().desk().redo_name());
    window().settle();
  }

  void find_everything() {
    Driver& w = window();
    ASSERT_TRUE(w.desk().logbook());
    EXPECT_EQ(w.logbook().vessel.value().name, "Marsh Hen");
    EXPECT_TRUE(w.sees("openings.row.P-01"));
    EXPECT_EQ(measured("P-01", Quantity::HoleDiameter).method, Method::PhotoByHand);
    EXPECT_NEAR(measured("P-01", Quantity::LaminateThickness).value, 14.8, 1e-9);
    EXPECT_EQ(w.opening("P-01").observation.value().condition, model::Condition::Worn);
    EXPECT_EQ(w.opening("P-01").photos.size(), 1U);
    EXPECT_EQ(w.opening("P-01").photos.front().photo.original_name, kPhoto);
    read_the_verdict();
  }
};

TEST_F(MainPath, FromNothingToAVerdictAndBackAndAgain) {
  make_logbook("Marsh Hen");
  describe_vessel();
  add_opening();
  drop_photo();
  correct_by_hand();
  record_what_was_seen();
  read_the_verdict();
  const int steps = undo_everything();
  EXPECT_GE(steps, 15) << "every change is a step of its own";
  redo_everything(steps);
  find_everything();
  window().key(Key::Q, true);
  EXPECT_TRUE(window().desk().quits());
  restart();
  window().click("start.recent.0");
  window().settle();
  find_everything();
}

}  // namespace
}  // namespace spile::gui
