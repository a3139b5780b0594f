// Which openings the list shows, in what order, and how a new one is called. Hand-made records.
#include "gui/list.hpp"

#include <gmock/gmock.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

namespace spile::gui {
namespace {

using testing::ElementsAre;

app::OpeningView opening(std::int64_t id, const std::string& tag, const std::string& service) {
  app::OpeningView view;
  view.opening.id = {id};
  view.opening.tag = tag;
  view.opening.service = service;
  return view;
}

model::Measurement diameter(double mm, std::int64_t survey) {
  model::Measurement m;
  m.quantity = model::Quantity::HoleDiameter;
  m.value = mm;
  m.u95 = 0.1;
  m.survey = {survey};
  return m;
}

class ListTest : public testing::Test {
 protected:
  ListTest() : tables(rules::Tables::load_shipped().value()) {
    logbook.survey = model::SurveyId{2};
    logbook.openings = {opening(1, "P-1", "cockpit-drain"), opening(2, "P-2", "galley-sink-drain"),
                        opening(3, "P-10", "speed-log"), opening(4, "S-1", "toilet-discharge")};
    logbook.openings[0].standing = rules::Standing::Good;
    logbook.openings[1].standing = rules::Standing::Act;
    logbook.openings[2].standing = rules::Standing::TooCloseToTell;
    logbook.openings[0].measurements = {diameter(40, 2)};
    logbook.openings[2].measurements = {diameter(20, 2)};
    logbook.openings[1].observation = model::Observation{};
    logbook.openings[1].observation->seen = model::Seen::Looked;
    logbook.openings[1].observation->condition = model::Condition::Poor;
  }
  std::vector<std::string> tags(const ListState& list) {
    std::vector<std::string> out;
    for (const auto* view : listed(logbook, tables, list)) out.push_back(view->opening.tag);
    return out;
  }
  app::Snapshot logbook;
  rules::Tables tables;
};

TEST_F(ListTest, SortsByTagAsPeopleCount) {
  EXPECT_THAT(tags({}), ElementsAre("P-1", "P-2", "P-10", "S-1"));
}

// Upper and lower case fall together in the logbook's own order; the column must not have another one.
TEST_F(ListTest, TagsStandInTheOrderOfTheLogbook) {
  logbook.openings = {opening(1, "a-1", ""), opening(2, "B-2", ""), opening(3, "c-3", "")};
  ListState list;
  EXPECT_THAT(tags(list), ElementsAre("a-1", "B-2", "c-3"));
  list.descending = true;
  EXPECT_THAT(tags(list), ElementsAre("c-3", "B-2", "a-1"));
}

TEST_F(ListTest, SortsByUrgencyAndBack) {
  ListState list;
  list.by = SortBy::Standing;
  EXPECT_THAT(tags(list), ElementsAre("P-2", "P-10", "S-1", "P-1"));
  list.descending = true;
  EXPECT_THAT(tags(list), ElementsAre("P-1", "S-1", "P-10", "P-2"));
}

TEST_F(ListTest, UnknownDiametersComeLast) {
  ListState list;
  list.by = SortBy::Diameter;
  EXPECT_THAT(tags(list), ElementsAre("P-10", "P-1", "P-2", "S-1"));
}

TEST_F(ListTest, FindsByEveryWordInTagServiceOrCondition) {
  ListState list;
  list.filter = "DRAIN";
  EXPECT_THAT(tags(list), ElementsAre("P-1", "P-2"));
  list.filter = "drain poor";
  EXPECT_THAT(tags(list), ElementsAre("P-2"));
  list.filter = "no such thing";
  EXPECT_TRUE(tags(list).empty());
}

TEST_F(ListTest, SievesByWhatNeedsDoing) {
  ListState list;
  list.sieve = Sieve::NeedsWork;
  EXPECT_THAT(tags(list), ElementsAre("P-2", "P-10"));
  list.sieve = Sieve::NotLookedAt;
  EXPECT_THAT(tags(list), ElementsAre("P-1", "P-10", "S-1"));
}

TEST_F(ListTest, CountsTheNewestTagOn) {
  EXPECT_EQ(next_tag({}), "P-01");
  EXPECT_EQ(next_tag(logbook), "S-2");
  logbook.openings.push_back(opening(9, "sink", ""));
  EXPECT_EQ(next_tag(logbook), "sink 1");
  logbook.openings.push_back(opening(10, "A007", ""));
  EXPECT_EQ(next_tag(logbook), "A008");
}

RC_GTEST_PROP(NaturalOrder, IsAStrictWeakOrder, ()) {
  const auto text = rc::gen::container<std::string>(rc::gen::elementOf(std::string("aB-0129")));
  const auto a = *text;
  const auto b = *text;
  const auto c = *text;
  RC_ASSERT(!natural_less(a, a));
  RC_ASSERT(!(natural_less(a, b) && natural_less(b, a)));
  if (natural_less(a, b) && natural_less(b, c)) RC_ASSERT(natural_less(a, c));
}

RC_GTEST_PROP(NaturalOrder, NumbersByValue, ()) {
  const auto a = *rc::gen::inRange(0, 100000);
  const auto b = *rc::gen::inRange(0, 100000);
  RC_ASSERT(natural_less("P-" + std::to_string(a), "P-" + std::to_string(b)) == (a < b));
}

}  // namespace
}  // namespace spile::gui
