// Pictures of runs and water: everything is where its figures say, named in words, and on the paper.
#include "figures/water_figures.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "../rules/stocked.hpp"
#include "figures/section.hpp"

namespace spile::figures {
namespace {

using testing::HasSubstr;

template <class T>
std::vector<T> all_of(const Figure& figure) {
  std::vector<T> found;
  for (const auto& item : figure.items)
    if (const auto* one = std::get_if<T>(&item)) found.push_back(*one);
  return found;
}

std::string words_of(const Figure& figure) {
  std::string all;
  for (const auto& l : all_of<Label>(figure)) all += l.text + "\n";
  return all;
}

const Mark* mark_of(const std::vector<Mark>& marks, const std::string& tag) {
  const auto hit = std::find_if(marks.begin(), marks.end(), [&](const Mark& m) { return m.tag == tag; });
  return hit == marks.end() ? nullptr : &*hit;
}

// Nothing of the drawing off the paper; lettering may reach out by its own width, which no test knows.
void expect_on_paper(const Figure& figure) {
  const auto inside = [&](const At& p) {
    return p.x > -0.1 && p.x < figure.width + 0.1 && p.y > -0.1 && p.y < figure.height + 0.1;
  };
  for (const auto& l : all_of<Polyline>(figure))
    for (const auto& p : l.points) EXPECT_TRUE(inside(p)) << p.x << " " << p.y << " of " << figure.height;
  for (const auto& m : all_of<Mark>(figure)) EXPECT_TRUE(inside(m.at)) << m.tag;
  for (const auto& l : all_of<Label>(figure)) EXPECT_TRUE(inside(l.at)) << l.text;
}

struct Run {
  rules::PlacedRun placed;
  rules::RunMatch match;
};

Run half_inch_on_an_inch() {
  auto placed = rules::place(run_of({"sink-25", "hose-25", "tail-npt-1-2-13", "seacock-npsm-1-2"}),
                             fitted("1/2 in", "npsm-1-2"), stocked());
  auto match = rules::judge_joints(placed, nullptr, true);
  return {std::move(placed), std::move(match)};
}

std::vector<Polyline> pieces(const Figure& figure) {
  auto lines = all_of<Polyline>(figure);
  std::erase_if(lines, [](const Polyline& l) { return !l.closed || !l.filled; });
  return lines;
}

double height_of(const Polyline& piece) {
  return piece.points[2].y - piece.points[0].y;
}

TEST(RunLine, DrawsEveryPartWithItsBoreToScale) {
  const auto run = half_inch_on_an_inch();
  const Figure figure = run_line(run.placed, run.match, 110);
  const auto drawn = pieces(figure);
  ASSERT_EQ(drawn.size(), run.placed.parts.size());
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    EXPECT_NEAR(height_of(drawn[i]) / height_of(drawn[1]),
                run.placed.parts[i].bore_mm / run.placed.parts[1].bore_mm, 1e-9);
    if (i == 0) continue;
    EXPECT_NEAR(drawn[i].points[0].x, drawn[i - 1].points[1].x, 1e-9) << "no gap between parts";
  }
  expect_on_paper(figure);
}

TEST(RunLine, MarksTheMismatchByShapeAndWord) {
  const auto run = half_inch_on_an_inch();
  const Figure figure = run_line(run.placed, run.match, 110);
  const auto marks = all_of<Mark>(figure);
  ASSERT_EQ(marks.size(), 1U);
  EXPECT_EQ(marks[0].shape, Shape::Triangle);
  EXPECT_EQ(marks[0].role, Role::Act);
  EXPECT_NEAR(marks[0].at.x, pieces(figure)[1].points[1].x, 1e-9) << "at the joint behind the hose";
  EXPECT_THAT(words_of(figure), HasSubstr("Size"));
  EXPECT_THAT(words_of(figure), HasSubstr("narrowest"));
  EXPECT_THAT(words_of(figure), HasSubstr("25 mm"));
}

TEST(RunLine, IsBareWithoutParts) {
  EXPECT_TRUE(run_line({}, {}, 110).items.empty());
}

// The sea over a point y off the centreline stands y tan(heel) up the hull (closed form; 30 degrees, 1 m: 577
// mm).
TEST(RunHeights, TheHeeledSeaStandsWhereTheTangentSays) {
  const std::vector<RunPoint> points = {{0, 300, 0}, {1000, -100, 1000}};
  const Figure figure = run_heights(points, {"S-02", 460, 30, 0}, 110);
  const auto lines = all_of<Polyline>(figure);
  const auto heeled = std::find_if(lines.begin(), lines.end(),
                                   [](const Polyline& l) { return l.stroke == Role::Water && l.dashed; });
  const auto run = std::find_if(lines.begin(), lines.end(), [](const Polyline& l) { return l.width == 0.7; });
  ASSERT_NE(heeled, lines.end());
  ASSERT_NE(run, lines.end());
  const double per_mm = (run->points[1].y - run->points[0].y) / 400;
  EXPECT_NEAR((heeled->points[0].y - heeled->points[1].y) / per_mm, 577.35, 0.1);
  EXPECT_THAT(words_of(figure), HasSubstr("sea at 30° heel"));
  EXPECT_THAT(words_of(figure), HasSubstr("S-02"));
  expect_on_paper(figure);
}

TEST(RunHeights, NeedsTwoPoints) {
  const std::vector<RunPoint> one = {{0, 300, 0}};
  EXPECT_TRUE(run_heights(one, {"S-02", 460, 30, 0}, 110).items.empty());
}

hydraulics::Pipeline hose() {
  hydraulics::Pipeline p;
  hydraulics::Stretch s;
  s.name = "Hose";
  s.bore = units::Millimetre(19);
  s.length = units::Millimetre(3000);
  s.rough = s.rough_least = s.rough_most = units::Millimetre(0.01);
  p.stretches = {s};
  return p;
}

// The mark stands where both curves have the same head.
TEST(PumpAndSystem, MeetWhereTheMarkIs) {
  const auto pump = hydraulics::PumpCurve::parse("4 m 0; 0 m 60 L/min").value();
  const units::Millimetre fall(-1000);
  const Figure figure = pump_and_system(pump, hose(), fall, 110);
  const auto met = hydraulics::solve(hose(), fall, &pump).value();
  const auto marks = all_of<Mark>(figure);
  ASSERT_EQ(marks.size(), 1U);
  const auto lines = all_of<Polyline>(figure);
  const auto gives = std::find_if(lines.begin(), lines.end(),
                                  [](const Polyline& l) { return l.stroke == Role::Ink && l.width == 0.6; });
  ASSERT_NE(gives, lines.end());
  const At from = gives->points.front(), to = gives->points.back();
  EXPECT_NEAR((marks[0].at.x - from.x) / (to.x - from.x), met.flow.value() / 60, 1e-9);
  EXPECT_NEAR((marks[0].at.y - from.y) / (to.y - from.y), 1 - met.pump_head.value() / 4000, 1e-9);
  expect_on_paper(figure);
}

TEST(FloodingByDepth, PutsTheOpeningsWhereTheyLieAndFlow) {
  const std::vector<FloodPoint> openings = {
      {"P-01", 25, 400, 90}, {"P-02", 38, 200, 140}, {"P-03", 19, -50, 0}};
  const Figure figure = flooding_by_depth(openings, 0.61, 110);
  const auto marks = all_of<Mark>(figure);
  const Mark *one = mark_of(marks, "P-01"), *two = mark_of(marks, "P-02");
  ASSERT_TRUE(one && two);
  EXPECT_EQ(mark_of(marks, "P-03"), nullptr) << "nothing comes in above the water";
  EXPECT_GT(one->at.x, two->at.x) << "deeper is to the right";
  EXPECT_GT(one->at.y, two->at.y) << "less is lower";
  EXPECT_THAT(words_of(figure), HasSubstr("38 mm"));
  EXPECT_THAT(figure.caption, HasSubstr("0.61"));
  expect_on_paper(figure);
}

model::Vessel sloop() {
  model::Vessel vessel;
  vessel.length_mm = 10000;
  vessel.beam_mm = 3200;
  vessel.draught_mm = 1700;
  vessel.freeboard_mm = 1100;
  return vessel;
}

// A drain 100 mm above the water at rest, 1 m off the centreline, with a sink inside.
OpeningSection drain(double heel_deg = 30) {
  OpeningSection s;
  s.tag = "S-08";
  s.side = model::Side::Starboard;
  s.from_bow = 6000;
  s.height = 100;
  s.half_breadth = 1200;
  s.heel_deg = heel_deg;
  s.opening = {rules::Standing::Act,
               "S-08: 100 mm above the water at rest, 593 mm under the water at 30° heel"};
  s.run = {{0, 500, 700}, {800, 900, 900}, {1500, 100, 1200}};
  s.rim = 650;
  s.at_rim = {rules::Standing::Watch, "Rim of the fixture: 650 mm above the sea at rest"};
  s.loop = 1;
  s.at_loop = {rules::Standing::Good, "Vented loop: 900 mm above the sea at rest"};
  return s;
}

TEST(OpeningSection, ShowsOpeningRimAndLoopWhereTheyAre) {
  const Figure figure = opening_section(sloop(), drain(), 110);
  const auto marks = all_of<Mark>(figure);
  const Mark *opening = mark_of(marks, "S-08"), *rim = mark_of(marks, "rim"), *loop = mark_of(marks, "loop");
  ASSERT_TRUE(opening && rim && loop);
  const double k = (opening->at.x - rim->at.x) / 500;  // 1200 against 700 off the centreline
  EXPECT_GT(k, 0) << "starboard is on the right";
  EXPECT_NEAR(opening->at.y - rim->at.y, 550 * k, 1e-6);
  EXPECT_NEAR(opening->at.y - loop->at.y, 800 * k, 1e-6);
  for (const char* said : {"593 mm under the water at 30° heel", "Rim of the fixture", "Vented loop", "PORT",
                           "water at rest", "water at 30° heel"})
    EXPECT_THAT(words_of(figure), HasSubstr(said));
  expect_on_paper(figure);
}

// The heeled water stands y tan(heel) over the opening: 1.2 m at 30 degrees, 693 mm (closed form).
TEST(OpeningSection, TiltsTheWaterByTheHeel) {
  const Figure figure = opening_section(sloop(), drain(), 110);
  const auto marks = all_of<Mark>(figure);
  const double k = (mark_of(marks, "S-08")->at.x - mark_of(marks, "rim")->at.x) / 500;
  const auto lines = all_of<Polyline>(figure);
  const auto heeled = std::find_if(lines.begin(), lines.end(),
                                   [](const Polyline& l) { return l.stroke == Role::Water && l.dashed; });
  ASSERT_NE(heeled, lines.end());
  const At a = heeled->points[0], b = heeled->points[1];
  EXPECT_NEAR(std::abs((b.y - a.y) / (b.x - a.x)) * 1200, 692.8, 0.1);
  EXPECT_LT(heeled->points[1].y, heeled->points[0].y) << "up on the low side";
  EXPECT_GT(heeled->points[1].x, heeled->points[0].x) << "which is starboard";
  EXPECT_NEAR((mark_of(marks, "S-08")->at.y -
               (a.y + (b.y - a.y) * (mark_of(marks, "S-08")->at.x - a.x) / (b.x - a.x))) /
                  k,
              592.8, 0.1);
}

TEST(OpeningSection, PortIsOnTheLeft) {
  auto section = drain();
  section.side = model::Side::Port;
  const auto marks = all_of<Mark>(opening_section(sloop(), section, 110));
  EXPECT_LT(mark_of(marks, "S-08")->at.x, mark_of(marks, "rim")->at.x);
}

TEST(OpeningSection, WithoutHeelOrRunStillShowsTheOpening) {
  auto section = drain(0);
  section.run.clear();
  section.rim.reset();
  section.opening.text = "S-08: 100 mm above the water at rest";
  const Figure figure = opening_section(sloop(), section, 110);
  EXPECT_NE(mark_of(all_of<Mark>(figure), "S-08"), nullptr);
  EXPECT_THAT(words_of(figure), testing::Not(HasSubstr("heel")));
  expect_on_paper(figure);
}

TEST(OpeningSection, SaysWhatItAssumesOfTheHull) {
  EXPECT_THAT(words_of(opening_section({}, drain(), 110)), HasSubstr("not recorded: drawn as is usual"));
}

// Wherever an opening may lie, the hull is drawn through it and everything stays on the paper.
RC_GTEST_PROP(OpeningSection, TheHullPassesThroughTheOpening, ()) {
  auto section = drain(*rc::gen::inRange(0, 45));
  section.height = *rc::gen::inRange(-900, 1000);
  section.half_breadth = *rc::gen::inRange(300, 1600);
  section.from_bow = *rc::gen::inRange(3500, 9000);
  section.run.back() = {1500, section.height, section.half_breadth};
  const Figure figure = opening_section(sloop(), section, 110);
  const auto marks = all_of<Mark>(figure);
  const auto hull = pieces(figure);
  const auto outline =
      std::find_if(hull.begin(), hull.end(), [](const Polyline& l) { return l.fill == Role::Hull; });
  RC_ASSERT(outline != hull.end());
  const At at = mark_of(marks, "S-08")->at;
  double apart = 1e9;
  for (std::size_t i = 0; i < outline->points.size(); ++i) {
    const At a = outline->points[i], b = outline->points[(i + 1) % outline->points.size()];
    const double dx = b.x - a.x, dy = b.y - a.y, whole = dx * dx + dy * dy;
    const double t = whole > 0 ? std::clamp(((at.x - a.x) * dx + (at.y - a.y) * dy) / whole, 0.0, 1.0) : 0;
    apart = std::min(apart, std::hypot(at.x - a.x - t * dx, at.y - a.y - t * dy));
  }
  RC_ASSERT(apart < 0.6);
  for (const auto& l : all_of<Polyline>(figure))
    for (const auto& p : l.points)
      RC_ASSERT(p.x > -0.1 && p.x < figure.width + 0.1 && p.y > -0.1 && p.y < figure.height + 0.1);
}

}  // namespace
}  // namespace spile::figures
