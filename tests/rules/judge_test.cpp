#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "cases.hpp"
#include "model/names.hpp"
#include "rules/missing.hpp"
#include "units/text.hpp"

using namespace spile;
using namespace spile::rules;
using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Not;

namespace {

template <class E>
E any_of() {
  const auto all = model::names<E>();
  return all[*rc::gen::inRange<std::size_t>(0, all.size())].value;
}

std::string any_key(const std::vector<Choice>& choices) {
  const auto at = *rc::gen::inRange<std::size_t>(0, choices.size() + 1);
  return at == choices.size() ? std::string() : choices[at].key;
}

std::optional<double> perhaps(int from, int to) {
  if (*rc::gen::inRange(0, 4) == 0) return std::nullopt;
  return *rc::gen::inRange(from, to);
}

std::vector<Choice> backing_choices() {
  std::vector<Choice> choices;
  for (const auto& row : shipped().backing_materials()) choices.push_back(row.choice);
  return choices;
}

std::vector<model::Measurement> any_measurements() {
  std::vector<model::Measurement> all;
  const int count = *rc::gen::inRange(0, 5);
  for (int i = 0; i < count; ++i) {
    auto m =
        reading(any_of<model::Quantity>(), *rc::gen::inRange(1, 600) / 10.0, *rc::gen::inRange(1, 50) / 10.0,
                any_of<model::Method>(), *rc::gen::element<std::string>("", "gelcoat", "laminate", "core"));
    all.push_back(m);
  }
  return all;
}

// Any record somebody could leave behind, whole or full of gaps.
Case any_case() {
  Case c;
  c.vessel.type = any_of<model::VesselType>();
  c.vessel.construction = any_of<model::HullConstruction>();
  c.vessel.beam_mm = perhaps(1000, 5000);
  c.vessel.freeboard_mm = perhaps(200, 1500);
  c.vessel.heel_deg = perhaps(0, 60);
  c.vessel.loaded_sinkage_mm = *rc::gen::inRange(0, 150);
  c.opening.service = any_key(shipped().services());
  c.opening.side = any_of<model::Side>();
  c.opening.height_mm = perhaps(-1000, 1500);
  c.opening.half_breadth_mm = perhaps(0, 2500);
  c.opening.construction = any_of<model::HullConstruction>();
  if (*rc::gen::arbitrary<bool>()) {
    c.fitting = model::Fitting{};
    c.fitting->kind = any_key(shipped().fitting_kinds());
    c.fitting->material = any_key(shipped().materials());
    c.fitting->nominal_size = *rc::gen::element<std::string>("", "1-1/2 in", "19 mm", "no idea");
  }
  if (*rc::gen::arbitrary<bool>()) {
    c.observation = model::Observation{};
    c.observation->waterline = any_of<model::Waterline>();
    c.observation->fitting_material = any_key(shipped().materials());
    c.observation->valve = any_of<model::ValveState>();
    c.observation->valve_kind = any_key(shipped().valve_kinds());
    c.observation->backing = any_of<model::Backing>();
    c.observation->backing_material = any_key(backing_choices());
    c.observation->backing_thickness_mm = perhaps(1, 40);
  }
  c.measurements = any_measurements();
  return c;
}

bool is_sentence(const std::string& text) {
  return text.size() > 3 && (text.back() == '.' || text.back() == '?') && text.find("  ") == text.npos &&
         text.find("..") == text.npos;
}

void check_promises(const Verdict& v) {
  RC_LOG() << v.rule << ": " << v.answer << '\n' << all_text(v) << '\n';
  RC_ASSERT(!v.rule.empty() && !v.title.empty() && !v.answer.empty());
  RC_ASSERT(is_sentence(v.headline));
  RC_ASSERT(!v.inputs.empty());
  for (const auto& input : v.inputs) RC_ASSERT(!input.label.empty() && !input.text.empty());
  for (const auto* list : {&v.reasons, &v.actions})
    for (const auto& line : *list) RC_ASSERT(is_sentence(line));
  RC_ASSERT(!v.sources.empty());
  for (const auto& source : v.sources) RC_ASSERT(!source.empty());
  const bool open = v.standing == Standing::NotKnownYet || v.standing == Standing::TooCloseToTell;
  RC_ASSERT(!open || !v.would_change.empty());
  RC_ASSERT(v.standing != Standing::Act || (!v.actions.empty() && !v.caution.empty()));
}

}  // namespace

RC_GTEST_PROP(Judge, EveryVerdictKeepsItsPromisesOnAnyRecord, ()) {
  const auto c = any_case();
  const auto verdicts = judge_all(c, shipped());
  RC_ASSERT(verdicts.size() == all_rules().size());
  for (const auto& v : verdicts) check_promises(v);
}

// What lies deeper is never let off more lightly.
RC_GTEST_PROP(Judge, MovingAnOpeningDownNeverRelaxesARule, ()) {
  auto high = any_case();
  high.opening.reach = any_of<model::Reach>();
  if (high.observation) {
    high.observation->seen = model::Seen::Looked;
    high.observation->waterline = model::Waterline::Unknown;
    high.observation->findings = {any_key(choices_of(shipped().findings()))};
  }
  high.opening.height_mm = *rc::gen::inRange(-800, 1500);
  high.opening.half_breadth_mm = *rc::gen::inRange(0, 2500);
  auto low = high;
  *low.opening.height_mm -= *rc::gen::inRange(0, 1500);
  const auto rank = [](const Verdict& v) {
    return v.standing == Standing::Act ? 2 : v.standing == Standing::Watch ? 1 : 0;
  };
  const auto above = judge_all(high, shipped()), below = judge_all(low, shipped());
  for (std::size_t i = 0; i < above.size(); ++i) {
    const auto& rule = above[i].rule;
    // The zone has no opinion of its own, and what is planned does not hang on the water.
    if (rule == "zone" || above[i].planning) continue;
    const bool open =
        below[i].standing == Standing::NotKnownYet || below[i].standing == Standing::TooCloseToTell;
    RC_LOG() << rule << ": " << above[i].headline << " | lower: " << below[i].headline << '\n';
    RC_ASSERT(open || rank(below[i]) >= rank(above[i]));
  }
}

// Inches or millimetres, a length is the same length.
TEST(Judge, SwappingUnitsChangesNothing) {
  auto metric = plain_case(), imperial = plain_case();
  metric.measurements = {
      reading(model::Quantity::LaminateThickness, units::parse_length("12.7 mm")->length.value(), 0.1)};
  imperial.measurements = {
      reading(model::Quantity::LaminateThickness, units::parse_length("1/2 in")->length.value(), 0.1)};
  metric.fitting->nominal_size = "38.1 mm";
  imperial.fitting->nominal_size = "1-1/2 in";
  const auto a = judge_all(metric, shipped()), b = judge_all(imperial, shipped());
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_EQ(a[i].answer, b[i].answer) << a[i].rule;
    EXPECT_EQ(a[i].reasons, b[i].reasons) << a[i].rule;
  }
}

TEST(Judge, RulesHaveDistinctKeysAndZoneComesFirst) {
  std::set<std::string_view> keys;
  for (const auto* rule : all_rules()) EXPECT_TRUE(keys.insert(rule->key()).second);
  EXPECT_EQ(all_rules().front()->key(), "zone");
}

TEST(Judge, TheWorstStandingMarksTheOpening) {
  const auto of = [](std::initializer_list<Standing> standings) {
    std::vector<Verdict> verdicts;
    for (const auto s : standings) verdicts.emplace_back().standing = s;
    return worst(verdicts);
  };
  EXPECT_EQ(of({Standing::Good, Standing::Act, Standing::NotKnownYet}), Standing::Act);
  EXPECT_EQ(of({Standing::NotKnownYet, Standing::TooCloseToTell}), Standing::TooCloseToTell);
  EXPECT_EQ(of({Standing::Watch, Standing::NotKnownYet}), Standing::NotKnownYet);
  EXPECT_EQ(of({Standing::NotApplicable, Standing::Good}), Standing::Good);
  EXPECT_EQ(of({}), Standing::NotKnownYet);
}

TEST(Missing, AnEmptyRecordAsksForEverythingInWalkingOrder) {
  EXPECT_THAT(
      missing(Case{}, shipped()),
      ElementsAre("a look at it in this survey", "condition", "what it is for", "distance from the bow",
                  "height above the waterline", "distance from the centreline", "how it is reached",
                  "kind of fitting", "fitting material", "fitting size", "whether the valve works",
                  "hose clips", "solid, sandwich, timber or metal hull", "hole diameter",
                  "laminate thickness", "whether there is a backing block"));
}

TEST(Missing, AWholeRecordAsksForNothing) {
  auto c = plain_case();
  c.opening.from_bow_mm = 4200;
  c.fitting->nominal_size = "1-1/2 in";
  c.measurements = {reading(model::Quantity::HoleDiameter, 49.5, 0.2),
                    reading(model::Quantity::LaminateThickness, 22, 0.2)};
  EXPECT_THAT(missing(c, shipped()), IsEmpty());
  c.observation->backing = model::Backing::Present;
  EXPECT_THAT(missing(c, shipped()), ElementsAre("backing block material", "backing block thickness"));
}

TEST(Missing, WhatCannotApplyIsNotAskedFor) {
  Case c;
  c.fitting = model::Fitting{};
  c.fitting->kind = "no-fitting";
  const auto bare = missing(c, shipped());
  EXPECT_THAT(bare, Not(Contains("fitting material")));
  EXPECT_THAT(bare, Not(Contains("whether the valve works")));
  c.fitting->kind = "transducer-housing";
  EXPECT_THAT(missing(c, shipped()), Not(Contains("whether the valve works")));
  c.opening.side = model::Side::Centreline;
  c.vessel.construction = model::HullConstruction::Timber;
  EXPECT_THAT(missing(c, shipped()), Not(Contains("distance from the centreline")));
  EXPECT_THAT(missing(c, shipped()), Not(Contains("laminate thickness")));
}
