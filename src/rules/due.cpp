#include "rules/due.hpp"

#include <array>

namespace spile::rules {

namespace {

constexpr std::array kTasks = {Task::Look, Task::WorkValve, Task::Renew};

std::string_view zone_to_go_by(std::string_view zone) {
  return zone == "wetted-when-heeled" || zone == "above" ? zone : "below-waterline";
}

bool fits(const Interval& row, const DueCase& facts) {
  return (row.service.empty() || row.service == facts.service) &&
         (row.material.empty() || row.material == facts.material) &&
         (row.zone.empty() || row.zone == zone_to_go_by(facts.zone)) &&
         (row.condition == model::Condition::Unknown || row.condition == facts.condition);
}

const Interval* shortest(const DueCase& facts, const Tables& tables, Task task) {
  const Interval* best = nullptr;
  for (const auto& row : tables.intervals())
    if (row.task == task && fits(row, facts) && (!best || row.months < best->months)) best = &row;
  return best;
}

std::optional<units::Day> last_done(const DueCase& facts, Task task) {
  switch (task) {
    case Task::Look:
      return facts.looked;
    case Task::WorkValve:
      return facts.worked;
    case Task::Renew:
      return facts.fitted;
  }
  return std::nullopt;
}

bool asked_for(const DueCase& facts, Task task) {
  if (task == Task::WorkValve) return facts.has_valve;
  return task != Task::Renew || facts.fitted.has_value();
}

}  // namespace

std::string_view key(Task task) {
  switch (task) {
    case Task::Look:
      return "look";
    case Task::WorkValve:
      return "work-valve";
    case Task::Renew:
      return "renew";
  }
  return {};
}

std::string_view label(Task task) {
  switch (task) {
    case Task::Look:
      return "Look at it closely, outside and in";
    case Task::WorkValve:
      return "Work the valve through its travel";
    case Task::Renew:
      return "Renew the fitting";
  }
  return {};
}

std::string_view key(DueState state) {
  switch (state) {
    case DueState::Overdue:
      return "overdue";
    case DueState::Coming:
      return "coming";
    case DueState::Later:
      return "later";
  }
  return {};
}

std::vector<DueTask> due_tasks(const DueCase& facts, const Tables& tables, units::Day on, int coming_days) {
  std::vector<DueTask> tasks;
  for (const Task task : kTasks) {
    const Interval* row = shortest(facts, tables, task);
    if (!row || !asked_for(facts, task)) continue;
    DueTask due{task, DueState::Overdue, last_done(facts, task), std::nullopt, 0, *row};
    if (due.last) {
      due.due = units::months_later(*due.last, row->months);
      due.days = units::days_between(on, *due.due);
      due.state = due.days < 0              ? DueState::Overdue
                  : due.days <= coming_days ? DueState::Coming
                                            : DueState::Later;
    }
    tasks.push_back(std::move(due));
  }
  return tasks;
}

}  // namespace spile::rules
