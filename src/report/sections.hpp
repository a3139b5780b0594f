// Inside of src/report: the sections of the survey report, in the order they are bound.
#pragma once

#include <string>

#include "report/flow.hpp"
#include "report/survey_report.hpp"

namespace spile::report {

void cover(Flow& flow, const SurveyReport& data);
void contents(Flow& flow, const SurveyReport& data);
void drawings(Flow& flow, const SurveyReport& data);
void table_of_openings(Flow& flow, const SurveyReport& data);
void opening_block(Flow& flow, const ReportOpening& opening, bool with_pictures);
void water_pages(Flow& flow, const SurveyReport& data);
void unfiled_photos(Flow& flow, const SurveyReport& data, bool with_pictures);
void method(Flow& flow, const SurveyReport& data);
void cautions(Flow& flow);
void photo_register(Flow& flow, const SurveyReport& data);

// Photos two abreast, each with what was measured drawn on it and its caption.
void photos(Flow& flow, const std::vector<ReportPhoto>& photos, bool with_pictures);

[[nodiscard]] std::string place_of(const ReportOpening& opening);    // name of its place in the document
[[nodiscard]] std::string survey_name(const model::Survey& survey);  // "Spring 2026, 11 April 2026"
[[nodiscard]] std::string long_date(
    const std::string& iso);  // "11 April 2026"; the text itself if it is no date
// The value to go by (rules/standing_value.hpp).
[[nodiscard]] const ReportValue* best_of(const ReportOpening& opening, model::Quantity quantity);

}  // namespace spile::report
