// The report of the current survey, gathered from the logbook.
#pragma once

#include <filesystem>

#include "app/jobs.hpp"
#include "app/session.hpp"
#include "outcome/outcome.hpp"
#include "report/survey_report.hpp"

namespace spile::app {

// Everything the report shows, photos re-compressed for the page (1400 px on the longer side); a photo that
// cannot be read is kept with the reason in its caption. Choose the survey first. `progress` may be null.
// Errors: NotFound where the logbook has no survey yet, Cancelled.
[[nodiscard]] Result<report::SurveyReport> gather_report(Session& session, Progress* progress = nullptr);

// Gathers and writes the PDF. Errors: those of gather_report and of report::write_survey_report.
[[nodiscard]] Result<void> write_report(Session& session, const std::filesystem::path& file,
                                        report::Paper paper, Progress* progress = nullptr);

}  // namespace spile::app
