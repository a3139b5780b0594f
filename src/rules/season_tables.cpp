// The tables that what happens from season to season goes by.
#include <fmt/format.h>

#include <cmath>

#include "model/names.hpp"
#include "rules/table_reader.hpp"

namespace spile::rules {

namespace {

constexpr std::array<std::pair<std::string_view, Task>, 3> kTasks{
    {{"look", Task::Look}, {"work-valve", Task::WorkValve}, {"renew", Task::Renew}}};
constexpr std::array<std::pair<std::string_view, bool>, 2> kSides{{{"above", true}, {"below", false}}};

void check_zone(const CsvRow& row, const std::string& zone) {
  if (zone.empty() || zone == "below-waterline" || zone == "wetted-when-heeled" || zone == "above") return;
  row.note("zone", fmt::format("\"{}\" is not one of below-waterline, wetted-when-heeled, above.", zone));
}

model::Condition condition_of(const CsvRow& row) {
  const auto key = row.optional_text("condition");
  if (key.empty()) return model::Condition::Unknown;
  const auto condition = model::from_key<model::Condition>(key);
  if (!condition) row.note("condition", fmt::format("\"{}\" is not a condition.", key));
  return condition.value_or(model::Condition::Unknown);
}

int months_of(const CsvRow& row) {
  const double months = row.positive("months");
  if (months != std::floor(months) || months > 1200)
    row.note("months", "it has to be a whole number of months, up to 100 years.");
  return static_cast<int>(std::min(months, 1200.0));
}

}  // namespace

void TableReader::read_intervals() {
  each_row("intervals.csv",
           {"key", "label", "task", "service", "material", "zone", "condition", "months", "note", "source"},
           [&](const CsvRow& row) {
             Interval interval{choice(row, {}),
                               row.one_of("task", kTasks),
                               row.optional_text("service"),
                               row.optional_text("material"),
                               row.optional_text("zone"),
                               condition_of(row),
                               months_of(row)};
             if (!interval.service.empty() && !tables_.service(interval.service))
               row.note("service", fmt::format("\"{}\" is not a key of services.csv.", interval.service));
             if (!interval.material.empty() && !tables_.material(interval.material))
               row.note("material", fmt::format("\"{}\" is not a key of materials.csv.", interval.material));
             check_zone(row, interval.zone);
             tables_.intervals_.push_back(std::move(interval));
           });
}

void TableReader::read_trend_limits() {
  each_row("trend_limits.csv", {"key", "label", "bad", "limit", "note", "source"}, [&](const CsvRow& row) {
    TrendLimit limit{choice(row, {}), model::Quantity::HoleOvality, row.one_of("bad", kSides),
                     row.positive("limit")};
    const auto quantity = model::from_key<model::Quantity>(limit.choice.key);
    if (!quantity) row.note("key", fmt::format("\"{}\" is not a quantity.", limit.choice.key));
    limit.quantity = quantity.value_or(limit.quantity);
    tables_.trend_limits_.push_back(std::move(limit));
  });
}

}  // namespace spile::rules
