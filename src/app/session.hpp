// One open logbook as the window and the command line see it: read a Snapshot, call a use case, read the next
// Snapshot. Every use case that changes something is one undoable edit. Main thread only; long work goes
// through app/jobs.hpp.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/clock.hpp"
#include "app/water.hpp"
#include "model/camera_profile.hpp"
#include "model/history.hpp"
#include "model/measurement.hpp"
#include "model/opening.hpp"
#include "model/photo.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"
#include "model/yard_table.hpp"
#include "outcome/outcome.hpp"
#include "rules/rule.hpp"

namespace spile::app {

struct PhotoView {
  model::PhotoUse use;
  model::Photo photo;
};

// One opening in the current survey.
struct OpeningView {
  model::Opening opening;
  std::optional<model::Fitting> fitting;
  std::optional<model::Observation> observation;  // in the current survey
  std::vector<model::Observation> seasons;        // of every survey, oldest first; also of later ones
  std::vector<model::Measurement> measurements;   // that stand, of this survey and those before, oldest first
  std::vector<PhotoView> photos;                  // in the current survey
  std::vector<PhotoView> other_photos;            // in the other surveys, in the order they were filed
  std::vector<rules::Verdict> verdicts;
  rules::Standing standing = rules::Standing::NotKnownYet;
  std::vector<std::string> missing;  // what nobody has recorded yet, each a short phrase
};

// A verdict that reads differently since the last edit; how it read before.
struct VerdictChange {
  model::OpeningId opening;
  std::string rule, title;
  rules::Standing before = rules::Standing::NotKnownYet;
  std::string headline_before;
};

struct Snapshot {
  std::filesystem::path folder;
  bool read_only = false;
  std::optional<model::Vessel> vessel;
  std::vector<model::Survey> surveys;         // newest last
  std::optional<model::SurveyId> survey;      // the current one
  std::vector<OpeningView> openings;          // by tag
  std::vector<PhotoView> unfiled;             // photos of the current survey that belong to no opening yet
  std::vector<model::CameraProfile> cameras;  // calibrated lenses, by camera
  model::Bilge bilge;
  WaterView water;  // runs and flooding, worked out
  std::optional<std::string> undo_name, redo_name;
  std::uint64_t revision = 0;          // grows with every change
  std::vector<VerdictChange> changed;  // by the last edit, undo or redo
  std::vector<model::YardTable> yard;  // the yard's own rows, by table
  std::string yard_fault;              // why they are not used, or empty

  // The current survey and those before it: what was known at the time, in the order values are taken from.
  [[nodiscard]] std::vector<model::SurveyId> newest_first() const;
  [[nodiscard]] const OpeningView* find(model::OpeningId opening) const;
  [[nodiscard]] const OpeningView* find(std::string_view tag) const;
};

// The folder a person means by "heron": heron.spile where there is no folder of the name itself.
[[nodiscard]] std::filesystem::path logbook_folder(const std::filesystem::path& named);

class Session {
 public:
  // ".spile" is added when missing. The new logbook holds no vessel and no survey yet.
  [[nodiscard]] static Result<Session> create(const std::filesystem::path& folder,
                                              Clock clock = Clock::system());
  // ".spile" may be left out. Opens for writing; when another process holds the logbook, fails with
  // LogbookBusy. `read_only` opens beside it.
  [[nodiscard]] static Result<Session> open(const std::filesystem::path& folder, bool read_only = false,
                                            Clock clock = Clock::system());
  Session(Session&&) noexcept;
  Session& operator=(Session&&) noexcept;
  ~Session();

  [[nodiscard]] const Snapshot& snapshot() const;
  [[nodiscard]] const rules::Tables& tables() const;
  [[nodiscard]] const rules::Stock& stock() const;  // parts of runs

  // Use cases. Each is one edit with a name that undo shows. Records of a survey (observations, typed values,
  // photos) go to the current survey when they name none; where there is no survey yet, one dated today is
  // begun in the same edit. Saving an opening begins one too.
  [[nodiscard]] Result<void> save_vessel(const model::Vessel& vessel);
  [[nodiscard]] Result<model::OpeningId> save_opening(const model::Opening& opening);
  [[nodiscard]] Result<void> remove_opening(model::OpeningId opening);
  [[nodiscard]] Result<void> save_fitting(const model::Fitting& fitting);
  // Kept as typed; what cannot be is said where the run is shown. A part or a run to join that is not there
  // is refused.
  [[nodiscard]] Result<model::RunId> save_run(const model::Run& run);
  [[nodiscard]] Result<void> remove_run(model::RunId run);
  // A run of the template of the opening's service. Without its through-hull where the fitting is recorded:
  // the fitting ends the run. Errors: NotFound where the service has no template.
  [[nodiscard]] Result<model::RunId> start_run(model::OpeningId opening, const std::string& name = {});
  [[nodiscard]] Result<void> save_bilge(const model::Bilge& bilge);
  // One of its figures as a person wrote it, in its own unit; an empty text: not known.
  [[nodiscard]] Result<void> type_bilge(std::optional<double> model::Bilge::*field, const std::string& typed);
  [[nodiscard]] Result<model::SurveyId> save_survey(const model::Survey& survey);
  // With everything that was put down of each opening, to be confirmed; then chosen. Errors: NotFound where
  // there is no survey yet, BadInput where the date is not after the last one's.
  [[nodiscard]] Result<model::SurveyId> begin_from_last(const model::Survey& survey);
  // What was carried over is as it was: looked at. Errors: NotFound where nothing is put down.
  [[nodiscard]] Result<void> confirm(model::OpeningId opening);
  [[nodiscard]] Result<void> choose_survey(model::SurveyId survey);  // not an edit
  [[nodiscard]] Result<void> save_observation(const model::Observation& observation);
  // `typed` is what the person wrote ("14.8 mm", "5/8"); the method's own uncertainty comes from the
  // instruments table unless `u95_mm` says otherwise.
  // A number without a unit is read as millimetres, a bare fraction as inches, and the edit's name shows the
  // reading. Ovality is typed in percent, moisture on the meter's own scale; `u95_mm` is then in that unit. A
  // value typed again (same quantity, method and survey) supersedes the earlier one, except layers, which
  // share their labels. `label` names the layer of a LayerThickness.
  [[nodiscard]] Result<model::MeasurementId> type_measurement(model::OpeningId opening,
                                                              model::Quantity quantity,
                                                              const std::string& typed, model::Method method,
                                                              std::optional<double> u95_mm = {},
                                                              const std::string& label = {});
  [[nodiscard]] Result<void> withdraw_measurement(model::MeasurementId measurement);
  // Several at once: what one photo gave. Each supersedes what stood for the same quantity from the same
  // photo; what belonged to the replaced reading and is not measured again (layers, ovality) is withdrawn.
  [[nodiscard]] Result<void> record_measurements(const std::string& edit_name,
                                                 const std::vector<model::Measurement>& measurements);
  // What was measured in the photo goes with it.
  [[nodiscard]] Result<void> file_photo(model::PhotoUseId use, std::optional<model::OpeningId> opening);
  [[nodiscard]] Result<void> remove_photo_use(model::PhotoUseId use);
  // Lays rows of the yard's own over the table of that name, in place of those laid before. Errors: BadInput
  // naming table, row and column.
  [[nodiscard]] Result<void> lay_table(const model::YardTable& table);
  [[nodiscard]] Result<void> take_off_table(const std::string& name);
  // Calibrating is in app/cameras.hpp. What was measured with the profile stays as it was measured.
  [[nodiscard]] Result<void> remove_camera_profile(model::CameraProfileId profile);
  [[nodiscard]] Result<void> undo();
  [[nodiscard]] Result<void> redo();
  // Every change that undo and redo can reach, oldest first.
  [[nodiscard]] Result<std::vector<model::PastEdit>> history() const;

  // What the use cases of this folder work on; shared so that a job's step can tell that the logbook was
  // closed meanwhile. Same thread as the Session. Defined in app/access.hpp.
  struct Access;
  [[nodiscard]] Access& access();
  [[nodiscard]] Result<void> refresh();  // read everything again after a job wrote

 private:
  struct Impl;
  explicit Session(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::app
