#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <tuple>

#include "report/sections.hpp"
#include "rules/standing_value.hpp"

namespace spile::report {

std::string place_of(const ReportOpening& opening) {
  return "opening-" + opening.mark.tag;
}

std::string long_date(const std::string& iso) {
  static constexpr std::array kMonths = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
  unsigned year = 0, month = 0, day = 0;
  if (std::sscanf(iso.c_str(), "%4u-%2u-%2u", &year, &month, &day) != 3 || month < 1 || month > 12)
    return iso;
  return fmt::format("{} {} {}", day, kMonths.at(month - 1), year);
}

std::string survey_name(const model::Survey& survey) {
  const std::string date = long_date(survey.date);
  return survey.title.empty() ? date : fmt::format("{}, {}", survey.title, date);
}

const ReportValue* best_of(const ReportOpening& opening, model::Quantity quantity) {
  std::vector<model::Measurement> measurements;
  std::vector<const ReportValue*> by_age;
  for (const auto& value : opening.values) {
    measurements.push_back(value.measurement);
    by_age.push_back(&value);
  }
  std::sort(by_age.begin(), by_age.end(), [](const ReportValue* a, const ReportValue* b) {
    return std::tie(a->survey_date, a->measurement.survey) > std::tie(b->survey_date, b->measurement.survey);
  });
  std::vector<model::SurveyId> newest_first;
  for (const auto* value : by_age) newest_first.push_back(value->measurement.survey);
  const auto* standing = rules::standing_value(measurements, quantity, newest_first);
  return standing ? &opening.values[static_cast<std::size_t>(standing - measurements.data())] : nullptr;
}

}  // namespace spile::report
