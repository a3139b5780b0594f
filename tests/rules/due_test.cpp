// Intervals: which row an opening goes by, and a yard's own. The figures are common practice (intervals.csv).
#include "rules/due.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace spile::rules {
namespace {

using testing::HasSubstr;

const Tables& tables() {
  static const Tables kTables = Tables::load_shipped().value();
  return kTables;
}

units::Day day(const char* iso) {
  return units::parse_date(iso).value();
}

DueTask task_of(const DueCase& facts, Task task, const char* on, const Tables& by = tables()) {
  for (const auto& due : due_tasks(facts, by, day(on)))
    if (due.task == task) return due;
  throw std::runtime_error("not asked for");
}

DueCase sound_below() {
  DueCase facts;
  facts.zone = "below-waterline";
  facts.condition = model::Condition::Sound;
  facts.looked = day("2026-04-11");
  return facts;
}

TEST(Due, TheShortestIntervalThatFitsHolds) {
  auto facts = sound_below();
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01").interval.months, 12);
  facts.material = "brass";
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01").interval.choice.key, "look-brass");
  facts.condition = model::Condition::Poor;
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01").interval.choice.key, "look-poor");
  facts.zone = "above";
  facts.condition = model::Condition::Sound;
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01").interval.choice.key, "look-any");
}

TEST(Due, AnOpenZoneCountsAsBelow) {
  auto facts = sound_below();
  for (const char* zone : {"", "not-known-yet", "too-close-to-tell"}) {
    facts.zone = zone;
    EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01").interval.choice.key, "look-below") << zone;
  }
}

TEST(Due, IsOverdueFromTheDayAfter) {
  const auto facts = sound_below();
  EXPECT_EQ(task_of(facts, Task::Look, "2027-04-11").state, DueState::Coming);
  EXPECT_EQ(task_of(facts, Task::Look, "2027-04-12").state, DueState::Overdue);
  EXPECT_EQ(task_of(facts, Task::Look, "2027-04-12").days, -1);
  EXPECT_EQ(task_of(facts, Task::Look, "2027-01-08").state, DueState::Later);
  EXPECT_EQ(task_of(facts, Task::Look, "2027-01-09").state, DueState::Coming) << "92 days before";
}

TEST(Due, WhatWasNeverDoneIsOverdueWithoutADate) {
  DueCase facts;
  const auto due = task_of(facts, Task::Look, "2026-05-01");
  EXPECT_EQ(due.state, DueState::Overdue);
  EXPECT_FALSE(due.due);
}

TEST(Due, OnlyWhatThereIsIsAskedFor) {
  auto facts = sound_below();
  EXPECT_EQ(due_tasks(facts, tables(), day("2026-05-01")).size(), 1U);
  facts.has_valve = true;
  EXPECT_EQ(due_tasks(facts, tables(), day("2026-05-01")).size(), 2U);
  facts.material = "brass";
  EXPECT_EQ(due_tasks(facts, tables(), day("2026-05-01")).size(), 2U) << "nobody knows when it was fitted";
  facts.fitted = day("2020-01-01");
  EXPECT_EQ(task_of(facts, Task::Renew, "2026-05-01").state, DueState::Overdue);
}

TEST(Due, AYardsRowsAreGoneBy) {
  const auto yard =
      Tables::load_with({{"intervals.csv",
                          "key,label,task,service,material,zone,condition,months,note,source\n"
                          "look-below,Below the waterline,look,,,below-waterline,,3,,common practice\n"
                          "look-log,Speed log,look,speed-log,,,,1,,common practice\n"}});
  ASSERT_TRUE(yard) << yard.error().sentence();
  auto facts = sound_below();
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01", *yard).interval.months, 3);
  EXPECT_THAT(task_of(facts, Task::Look, "2026-05-01", *yard).interval.choice.source, HasSubstr("yard"));
  facts.service = "speed-log";
  EXPECT_EQ(task_of(facts, Task::Look, "2026-05-01", *yard).interval.months, 1);
}

TEST(Due, ARowThatNamesNothingIsRefused) {
  const std::string header = "key,label,task,service,material,zone,condition,months,note,source\n";
  for (const auto& [row, words] : {std::pair{"x,X,look,no-such,,,,3,,common practice", "column service"},
                                   {"x,X,look,,porridge,,,3,,common practice", "column material"},
                                   {"x,X,look,,,under,,3,,common practice", "column zone"},
                                   {"x,X,look,,,,ruined,3,,common practice", "column condition"},
                                   {"x,X,look,,,,,2.5,,common practice", "column months"},
                                   {"x,X,admire,,,,,3,,common practice", "column task"}}) {
    const auto yard = Tables::load_with({{"intervals.csv", header + row + "\n"}});
    ASSERT_FALSE(yard) << row;
    EXPECT_THAT(yard.error().what, HasSubstr(words));
  }
}

}  // namespace
}  // namespace spile::rules
