#include "report/survey_report.hpp"

#include <fmt/format.h>

#include "report/file_out.hpp"
#include "report/sections.hpp"

namespace spile::report {

namespace {

struct Cancelled {};

std::string running_head(const SurveyReport& data) {
  return fmt::format("{} · {}", data.vessel.name.empty() ? "Vessel without a name" : data.vessel.name,
                     survey_name(data.survey));
}

Metadata metadata_of(const SurveyReport& data) {
  Metadata metadata;
  metadata.title = fmt::format("Survey of hull openings: {}", running_head(data));
  metadata.author = data.survey.surveyor;
  metadata.subject = "Openings through the hull: measurements, condition, verdicts";
  metadata.keywords = "survey, through-hull, seacock";
  // Only a full date is one to the PDF; noon keeps the day in every time zone.
  metadata.created = data.survey.date.size() == 10 ? data.survey.date + "T12:00:00Z" : "2000-01-01T12:00:00Z";
  return metadata;
}

// The whole document; the first time round without pictures, only to learn where everything comes to lie.
Pagination lay_out(Pdf& pdf, const SurveyReport& data, const Pagination& known,
                   const ReportProgress& progress) {
  const bool final = known.pages > 0;
  Flow flow(pdf, running_head(data), known);
  cover(flow, data);
  contents(flow, data);
  drawings(flow, data);
  table_of_openings(flow, data);
  const int total = static_cast<int>(data.openings.size());
  for (int i = 0; i < total; ++i) {
    if (progress && progress(final ? i : 0, total)) throw Cancelled{};
    if (i == 0) flow.new_page();
    opening_block(flow, data.openings[static_cast<std::size_t>(i)], final);
  }
  water_pages(flow, data);
  unfiled_photos(flow, data, final);
  method(flow, data);
  cautions(flow);
  photo_register(flow, data);
  flow.end();
  return flow.found();
}

}  // namespace

Result<void> write_survey_report(const SurveyReport& data, const std::filesystem::path& file, Paper paper,
                                 const ReportProgress& progress) {
  try {
    Pdf draft(paper, metadata_of(data));
    const Pagination known = lay_out(draft, data, {}, progress);
    Pdf pdf(paper, metadata_of(data));
    lay_out(pdf, data, known, progress);
    const auto bytes = pdf.finish();
    if (!bytes) return tl::unexpected(bytes.error());
    return write_whole(file, *bytes);
  } catch (const Cancelled&) {
    return fail(ErrorCode::Cancelled, "Writing the report was cancelled; no file was changed.");
  }
}

}  // namespace spile::report
