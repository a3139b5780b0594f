#include "figures/hull.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <map>

#include "figures/callouts.hpp"
#include "figures/standing.hpp"

namespace spile::figures {
namespace {

model::Vessel sloop() {
  model::Vessel vessel;
  vessel.length_mm = 10000;
  vessel.beam_mm = 3200;
  vessel.draught_mm = 1700;
  vessel.freeboard_mm = 1100;
  vessel.loaded_sinkage_mm = 40;
  return vessel;
}

std::map<std::string, Mark> marks_of(const Figure& figure) {
  std::map<std::string, Mark> marks;
  for (const auto& item : figure.items)
    if (const auto* mark = std::get_if<Mark>(&item)) marks[mark->tag] = *mark;
  return marks;
}

std::vector<Label> labels_of(const Figure& figure) {
  std::vector<Label> labels;
  for (const auto& item : figure.items)
    if (const auto* l = std::get_if<Label>(&item)) labels.push_back(*l);
  return labels;
}

std::string words_of(const Figure& figure) {
  std::string all;
  for (const auto& l : labels_of(figure)) all += l.text + "\n";
  return all;
}

TEST(HullPlan, PlacesOpeningsByStationAndSide) {
  const std::vector<OpeningMark> openings = {
      {"P-01", model::Side::Port, 2000, -300, 600, rules::Standing::Act},
      {"S-01", model::Side::Starboard, 8000, -200, 600, rules::Standing::Good},
      {"C-01", model::Side::Centreline, 5000, -500, {}, rules::Standing::Watch}};
  const Figure figure = hull_plan(sloop(), openings, 170);
  const auto marks = marks_of(figure);
  ASSERT_EQ(marks.size(), 3U);
  // Bow to the right: 2 m from the bow lies right of 8 m, by 6 m at the drawing's scale (150 mm for 10 m).
  EXPECT_NEAR(marks.at("P-01").at.x - marks.at("S-01").at.x, 6000 * 150.0 / 10000, 1e-6);
  // Port up, by half-breadth to either side of the centreline.
  EXPECT_NEAR(marks.at("S-01").at.y - marks.at("P-01").at.y, 1200 * 150.0 / 10000, 1e-6);
  EXPECT_NEAR(marks.at("C-01").at.y, (marks.at("P-01").at.y + marks.at("S-01").at.y) / 2, 1e-6);
  EXPECT_EQ(marks.at("P-01").shape, Shape::Triangle);
  EXPECT_EQ(marks.at("P-01").role, Role::Act);
  EXPECT_EQ(marks.at("S-01").shape, Shape::Disc);
}

TEST(HullProfile, PlacesOpeningsByHeight) {
  const std::vector<OpeningMark> openings = {{"A", model::Side::Port, 5000, -300, {}, rules::Standing::Good},
                                             {"B", model::Side::Port, 5000, 300, {}, rules::Standing::Good}};
  const auto marks = marks_of(hull_profile(sloop(), openings, 170));
  EXPECT_NEAR(marks.at("A").at.y - marks.at("B").at.y, 600 * 150.0 / 10000, 1e-6);
  EXPECT_NEAR(marks.at("A").at.x, marks.at("B").at.x, 1e-9);
}

TEST(HullSection, RaisesTheWaterOnTheLowSideByTheTangentOfTheHeel) {
  // y tan(th): at 30 degrees, 1.5 m out, 0.866 m (closed form).
  const Figure figure = hull_section(sloop(), {}, 30, 100);
  const double k = 100 * 0.56 / 3200;
  int heeled = 0;
  for (const auto& item : figure.items) {
    const auto* line = std::get_if<Polyline>(&item);
    if (!line || line->stroke != Role::Water || !line->dashed) continue;
    ++heeled;
    const At a = line->points.front(), b = line->points.back();
    const double slope = std::abs((b.y - a.y) / (b.x - a.x));
    EXPECT_NEAR(slope * 1500, 866.0, 0.1);
    EXPECT_NEAR(slope * 1500 * k, 866.0 * k, 0.01);
  }
  EXPECT_EQ(heeled, 2);
}

TEST(Hull, NamesWhatCannotBePlacedAndWhatIsAssumed) {
  const std::vector<OpeningMark> openings = {
      {"X-9", model::Side::Port, {}, {}, {}, rules::Standing::NotKnownYet}};
  model::Vessel bare;
  EXPECT_THAT(words_of(hull_plan(bare, openings, 170)), ::testing::HasSubstr("X-9"));
  EXPECT_THAT(words_of(hull_profile(bare, openings, 170)), ::testing::HasSubstr("X-9"));
  EXPECT_THAT(words_of(hull_section(bare, openings, 30, 90)), ::testing::HasSubstr("X-9"));
  EXPECT_THAT(words_of(hull_plan(bare, openings, 170)),
              ::testing::HasSubstr("Length, beam, draught and freeboard are not recorded"));
  EXPECT_THAT(marks_of(hull_plan(bare, openings, 170)), ::testing::IsEmpty());
}

TEST(Hull, LegendNamesOnlyWhatOccurs) {
  const std::vector<OpeningMark> openings = {{"A", {}, {}, {}, {}, rules::Standing::Act}};
  const std::string words = words_of(standing_legend(openings, 170));
  EXPECT_THAT(words, ::testing::HasSubstr("act: something has to be done"));
  EXPECT_THAT(words, ::testing::Not(::testing::HasSubstr("good")));
}

TEST(Standing, EachHasItsOwnShapeAndWord) {
  using rules::Standing;
  std::vector<Shape> shapes;
  std::vector<std::string> words;
  for (const auto s :
       {Standing::Good, Standing::Watch, Standing::Act, Standing::TooCloseToTell, Standing::NotKnownYet}) {
    shapes.push_back(look_of(s).shape);
    words.emplace_back(look_of(s).word);
  }
  for (std::size_t i = 0; i < shapes.size(); ++i)
    for (std::size_t j = i + 1; j < shapes.size(); ++j) {
      EXPECT_NE(shapes[i], shapes[j]);
      EXPECT_NE(words[i], words[j]);
    }
}

std::vector<OpeningMark> any_openings() {
  std::vector<OpeningMark> openings;
  const int n = *rc::gen::inRange(0, 120);
  for (int i = 0; i < n; ++i) {
    OpeningMark o;
    o.tag = "T-" + std::to_string(i);
    o.side = *rc::gen::element(model::Side::Port, model::Side::Starboard, model::Side::Centreline);
    if (*rc::gen::inRange(0, 8)) o.from_bow_mm = *rc::gen::inRange(0, 12000);
    if (*rc::gen::inRange(0, 8)) o.height_mm = *rc::gen::inRange(-900, 1500);
    if (*rc::gen::inRange(0, 2)) o.half_breadth_mm = *rc::gen::inRange(0, 2500);
    openings.push_back(o);
  }
  return openings;
}

bool overlap(const Label& a, const Label& b) {
  const auto left = [](const Label& l) {
    const double width = text_width(l.text, l.size);
    return l.at.x - (l.align == Align::Left ? 0 : l.align == Align::Centre ? width / 2 : width);
  };
  const double a_left = left(a), b_left = left(b);
  const bool across =
      a_left < b_left + text_width(b.text, b.size) && b_left < a_left + text_width(a.text, a.size);
  return across && std::abs(a.at.y - b.at.y) < a.size;
}

RC_GTEST_PROP(Hull, TagsStayOnTheSheetAndApartAndNoOpeningIsLost, ()) {
  const auto openings = any_openings();
  const auto type = *rc::gen::element(model::VesselType::SailMonohull, model::VesselType::SailMultihull,
                                      model::VesselType::Power);
  model::Vessel vessel = sloop();
  vessel.type = type;
  for (const Figure& figure : {hull_plan(vessel, openings, 170), hull_profile(vessel, openings, 170),
                               hull_section(vessel, openings, 30, 90)}) {
    std::vector<Label> tags;
    const std::string words = words_of(figure);
    for (const auto& l : labels_of(figure)) {
      RC_ASSERT(std::isfinite(l.at.x) && std::isfinite(l.at.y));
      if (l.bold) tags.push_back(l);
    }
    for (const auto& o : openings) RC_ASSERT(words.find(o.tag) != std::string::npos);
    for (const auto& t : tags)
      RC_ASSERT(t.at.x >= 0 && t.at.x <= figure.width && t.at.y > 0 && t.at.y < figure.height);
    for (std::size_t i = 0; i < tags.size(); ++i)
      for (std::size_t j = i + 1; j < tags.size(); ++j) RC_ASSERT(!overlap(tags[i], tags[j]));
    for (const auto& [tag, mark] : marks_of(figure))
      RC_ASSERT(mark.at.x >= -1 && mark.at.x <= figure.width + 1 && mark.at.y >= 0 &&
                mark.at.y <= figure.height);
  }
}

}  // namespace
}  // namespace spile::figures
