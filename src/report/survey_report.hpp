// The report of one survey, as plain data and as a PDF: cover with a plain summary, drawings, the table of
// all openings, a block per opening with photos, values, record and verdicts, how it was measured, and what
// to beware of.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "figures/hull.hpp"
#include "model/measurement.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"
#include "outcome/outcome.hpp"
#include "report/paper.hpp"
#include "report/water.hpp"
#include "rules/verdict.hpp"

namespace spile::report {

// A photo as shown: re-compressed for the page, upright; its measurements' pixels are those of the original,
// upright.
struct ReportPhoto {
  std::string name, taken_at, finding, sha256;
  int original_width_px = 0, original_height_px = 0;
  std::vector<std::uint8_t> jpeg;  // empty: the picture could not be read, `finding` says so
  int width_px = 0, height_px = 0;
  std::vector<model::Measurement> measurements;  // made in it
};

struct ReportValue {
  model::Measurement measurement;
  std::string survey_date;
  std::string photo_name;  // or empty
  bool this_survey = false;
};

struct LabelledText {
  std::string label, text;
};

struct ReportOpening {
  figures::OpeningMark mark;  // tag, side, position, standing
  std::string service;
  std::string place;  // "port, 3.50 m from the bow, 330 mm below the waterline at rest"
  std::string zone;   // "below the waterline"; empty when not known
  model::Seen seen = model::Seen::NotLookedAt;
  std::string material, valve;  // for the table; empty when not recorded
  std::vector<LabelledText> record;
  std::vector<ReportValue> values;  // that stand, oldest first
  std::vector<rules::Verdict> verdicts;
  std::vector<std::string> missing;
  std::vector<ReportPhoto> photos;
};

struct SurveyReport {
  model::Vessel vessel;
  model::Survey survey;
  std::optional<double> heel_deg;  // worst heel the zones were judged by
  std::vector<ReportOpening> openings;
  std::vector<ReportPhoto> unfiled;
  ReportWater water;                   // runs and flooding
  std::vector<std::string> yard_rows;  // rows of the yard's own among those the rules went by
  std::string engine;                  // "spile 0.1.0"
  std::string logbook;                 // name of the logbook
};

// True means stop. Called between openings, with how many of how many are done.
using ReportProgress = std::function<bool(int done, int total)>;

// Errors: Cancelled; StorageFull, StorageReadOnly, FileUnreadable when the file cannot be written. The same
// data give the same bytes: the document's date is the survey's.
[[nodiscard]] Result<void> write_survey_report(const SurveyReport& data, const std::filesystem::path& file,
                                               Paper paper, const ReportProgress& progress = {});

}  // namespace spile::report
