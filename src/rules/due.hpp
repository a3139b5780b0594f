// What is due at one opening: the shortest interval of intervals.csv that fits it, for each task, counted
// from when the task was last done. Where the zone is open it is taken to lie below the waterline.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "rules/tables.hpp"
#include "units/civil_date.hpp"

namespace spile::rules {

[[nodiscard]] std::string_view key(Task task);    // "work-valve"
[[nodiscard]] std::string_view label(Task task);  // "Work the valve through its travel"

enum class DueState { Overdue, Coming, Later };
[[nodiscard]] std::string_view key(DueState state);

struct DueCase {
  std::string service, material;  // keys, or empty
  std::string zone;               // answer of the zone rule
  model::Condition condition = model::Condition::Unknown;
  bool has_valve = false;  // or should have one and nobody has looked
  std::optional<units::Day> looked, worked, fitted;
};

struct DueTask {
  Task task = Task::Look;
  DueState state = DueState::Later;
  std::optional<units::Day> last;  // absent: never done
  std::optional<units::Day> due;   // absent: never done, so due now
  int days = 0;                    // until due; below 0: overdue by so many
  Interval interval;               // the row it goes by
};

// Coming: due within `coming_days`. Renewing is asked for only where it is known when it was fitted.
inline constexpr int kComingDays = 92;  // a quarter of a year
[[nodiscard]] std::vector<DueTask> due_tasks(const DueCase& facts, const Tables& tables, units::Day on,
                                             int coming_days = kComingDays);

}  // namespace spile::rules
