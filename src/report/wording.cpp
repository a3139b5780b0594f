#include <fmt/format.h>

#include <array>
#include <cstdio>

#include "report/sections.hpp"

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
  const ReportValue* best = nullptr;
  for (const auto& value : opening.values) {
    if (value.measurement.quantity != quantity) continue;
    const bool later = best && value.survey_date > best->survey_date;
    const bool same = best && value.survey_date == best->survey_date;
    if (!best || later || (same && value.measurement.u95 < best->measurement.u95)) best = &value;
  }
  return best;
}

}  // namespace spile::report
