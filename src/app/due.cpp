#include "app/due.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "app/wording.hpp"
#include "model/names.hpp"
#include "rules/urgency.hpp"

namespace spile::app {

namespace {

using rules::DueState;
using units::Day;

using Days = std::map<model::SurveyId, Day>;

Days days_of(const Snapshot& snapshot) {
  Days days;
  for (const auto& survey : snapshot.surveys)
    if (const auto day = units::parse_date(survey.date)) days[survey.id] = *day;
  return days;
}

// "about 2005" is 2005, from its first day: the cautious end.
std::optional<Day> fitted_day(const std::string& text) {
  if (const auto day = units::parse_date(text)) return day;
  for (std::size_t i = 0; i + 4 <= text.size(); ++i) {
    const std::string year = text.substr(i, 4);
    const bool digits = std::all_of(year.begin(), year.end(), [](char c) { return c >= '0' && c <= '9'; });
    if (!digits || (year[0] != '1' && year[0] != '2')) continue;
    return units::parse_date(year + "-01-01");
  }
  return std::nullopt;
}

bool worked(model::ValveState valve) {
  return valve == model::ValveState::Works || valve == model::ValveState::Stiff ||
         valve == model::ValveState::Seized;
}

std::string zone_of(const OpeningView& view) {
  for (const auto& verdict : view.verdicts)
    if (verdict.rule == "zone") return verdict.answer;
  return {};
}

rules::DueCase case_of(const OpeningView& view, const rules::Tables& tables, const Days& days, Day on) {
  rules::DueCase facts;
  facts.service = view.opening.service;
  facts.zone = zone_of(view);
  const auto* service = tables.service(facts.service);
  facts.has_valve = service && service->shut_off == rules::ShutOff::Valve;
  if (view.fitting) {
    facts.material = view.fitting->material;
    facts.fitted = fitted_day(view.fitting->fitted);
  }
  for (const auto& seen : view.seasons) {
    const auto day = days.find(seen.survey);
    if (seen.seen != model::Seen::Looked || day == days.end() || day->second > on) continue;
    facts.looked = day->second;
    if (seen.condition != model::Condition::Unknown) facts.condition = seen.condition;
    if (!seen.fitting_material.empty()) facts.material = seen.fitting_material;
    if (worked(seen.valve)) facts.worked = day->second;
    if (seen.valve != model::ValveState::Unknown) facts.has_valve = worked(seen.valve);
  }
  return facts;
}

// "22 days", "8 months", "16 years": as far as anybody cares.
std::string span_words(int days) {
  constexpr int kMonth = 30, kYear = 365;
  if (days < 3 * kMonth) return counted(static_cast<std::size_t>(days), "day");
  if (days < 2 * kYear) return counted(static_cast<std::size_t>(days / kMonth), "month");
  return counted(static_cast<std::size_t>(days / kYear), "year");
}

std::string when_of(const rules::DueTask& task) {
  if (!task.due) return "never done";
  const std::string date = units::print_date(*task.due);
  if (task.state == DueState::Overdue)
    return fmt::format("overdue since {} ({})", date, span_words(-task.days));
  return fmt::format("due by {}", date);
}

std::string why_of(const rules::Interval& row) {
  std::string why = fmt::format("every {}: {}", counted(static_cast<std::size_t>(row.months), "month"),
                                lower(row.choice.label));
  if (!row.choice.note.empty()) why += fmt::format("; {}", lower(trimmed(row.choice.note)));
  while (why.ends_with('.')) why.pop_back();
  return fmt::format("{} ({})", why, row.choice.source);
}

std::vector<DueItem> items_of(const OpeningView& view, const rules::Tables& tables, const Days& days,
                              Day on) {
  std::vector<DueItem> items;
  const std::string service(rules::label_of(tables.services(), view.opening.service));
  for (auto& task : rules::due_tasks(case_of(view, tables, days, on), tables, on)) {
    std::string when = when_of(task), why = why_of(task.interval);
    items.push_back(
        {view.opening.id, view.opening.tag, service, std::move(task), std::move(when), std::move(why)});
  }
  return items;
}

bool sooner(const DueItem& a, const DueItem& b) {
  if (a.task.due.has_value() != b.task.due.has_value()) return !a.task.due;
  return a.task.days < b.task.days;
}

nlohmann::ordered_json day_json(const std::optional<Day>& day) {
  return day ? nlohmann::ordered_json(units::print_date(*day)) : nlohmann::ordered_json(nullptr);
}

SeasonCell cell_of(const OpeningView& view, const model::Survey& survey, const rules::Tables& tables) {
  SeasonCell cell;
  cell.survey = survey.id;
  for (const auto& seen : view.seasons) {
    if (seen.survey != survey.id) continue;
    cell.seen = seen.seen;
    cell.condition = seen.condition;
    for (const auto& key : seen.findings)
      cell.reasons.emplace_back(rules::label_of(rules::choices_of(tables.findings()), key));
    if (seen.valve != model::ValveState::Unknown)
      cell.reasons.push_back(fmt::format("Valve: {}", lower(model::label(seen.valve))));
    if (!seen.notes.empty()) cell.reasons.push_back(seen.notes);
  }
  for (const auto& m : view.measurements)
    if (m.survey == survey.id) cell.reasons.push_back(print_measurement(m));
  return cell;
}

int last_condition(const SeasonRow& row) {
  for (auto cell = row.cells.rbegin(); cell != row.cells.rend(); ++cell)
    if (cell->seen == model::Seen::Looked && cell->condition != model::Condition::Unknown)
      return static_cast<int>(cell->condition);
  return 0;
}

bool more_urgent(const SeasonRow& a, const SeasonRow& b) {
  const int first = rules::urgency_of(a.standing), second = rules::urgency_of(b.standing);
  if (first != second) return first < second;
  if (last_condition(a) != last_condition(b)) return last_condition(a) > last_condition(b);
  if (a.due.empty() != b.due.empty()) return b.due.empty();
  return !a.due.empty() && sooner(a.due.front(), b.due.front());
}

}  // namespace

std::vector<DueItem> due_items(const Snapshot& snapshot, const rules::Tables& tables, Day on) {
  const Days days = days_of(snapshot);
  std::vector<DueItem> all;
  for (const auto& view : snapshot.openings)
    for (auto& item : items_of(view, tables, days, on)) all.push_back(std::move(item));
  std::stable_sort(all.begin(), all.end(), sooner);
  return all;
}

nlohmann::ordered_json due_json(const std::vector<DueItem>& items, Day on) {
  auto list = nlohmann::ordered_json::array();
  for (const auto& item : items) {
    const auto& task = item.task;
    list.push_back({{"tag", item.tag},
                    {"task", rules::key(task.task)},
                    {"label", rules::label(task.task)},
                    {"state", rules::key(task.state)},
                    {"last", day_json(task.last)},
                    {"due", day_json(task.due)},
                    {"days", task.due ? nlohmann::ordered_json(task.days) : nlohmann::ordered_json(nullptr)},
                    {"interval_months", task.interval.months},
                    {"row", task.interval.choice.key},
                    {"why", item.why},
                    {"source", task.interval.choice.source}});
  }
  return {{"on", units::print_date(on)}, {"due", list}};
}

std::vector<SeasonRow> season_rows(const Snapshot& snapshot, const rules::Tables& tables, Day on) {
  const Days days = days_of(snapshot);
  std::vector<SeasonRow> rows;
  for (const auto& view : snapshot.openings) {
    SeasonRow row;
    row.opening = view.opening.id;
    row.tag = view.opening.tag;
    row.service = rules::label_of(tables.services(), view.opening.service);
    row.standing = view.standing;
    for (const auto& survey : snapshot.surveys) row.cells.push_back(cell_of(view, survey, tables));
    for (auto& item : items_of(view, tables, days, on))
      if (item.task.state != DueState::Later) row.due.push_back(std::move(item));
    std::stable_sort(row.due.begin(), row.due.end(), sooner);
    rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(), more_urgent);
  return rows;
}

}  // namespace spile::app
