// A logbook on disk: folder NAME.spile with log.sqlite and photos/. Everything that is changed goes through
// edit(), which is one transaction, recorded with its name so that it can be undone and redone, also after a
// restart. One Store per thread; one process writes at a time (a second one opens read-only and says who
// holds it).
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "db/merge.hpp"
#include "model/bilge.hpp"
#include "model/camera_profile.hpp"
#include "model/history.hpp"
#include "model/measurement.hpp"
#include "model/opening.hpp"
#include "model/photo.hpp"
#include "model/run.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"
#include "model/yard_table.hpp"
#include "outcome/outcome.hpp"

namespace spile::db {

inline constexpr std::int32_t kApplicationId = 0x5350494C;  // "SPIL"

enum class Access { ReadWrite, ReadOnly };

// What verify() looked at and what it found; clean when `faults` is empty.
struct VerifyReport {
  int photos = 0, openings = 0, measurements = 0, surveys = 0;
  std::vector<std::string> faults;  // one sentence each
  std::vector<std::string>
      notes;  // worth knowing, not wrong (a vault file that only an undone edit refers to)
};

struct NewPhoto {
  std::span<const std::uint8_t> bytes;
  model::Photo record;  // sha256 and id are filled in by the store
};

// The records inside one edit. save_* inserts when the id is not stored yet, else updates; all return the id.
// They throw what edit() turns into its Error; let it pass. Tags are unique without regard to case.
class Edit {
 public:
  virtual ~Edit() = default;
  virtual void save_vessel(const model::Vessel& vessel) = 0;
  virtual model::OpeningId save_opening(const model::Opening& opening) = 0;
  // With its fitting, runs, observations and measurements. Its photos stay in their surveys, filed with no
  // opening.
  virtual void remove_opening(model::OpeningId opening) = 0;
  virtual model::FittingId save_fitting(const model::Fitting& fitting) = 0;  // one in an opening
  virtual void remove_fitting(model::FittingId fitting) = 0;
  virtual model::SurveyId save_survey(const model::Survey& survey) = 0;
  // With its observations, measurements and photo uses. Refused while a later survey corrects a measurement
  // of it.
  virtual void remove_survey(model::SurveyId survey) = 0;
  virtual model::ObservationId save_observation(const model::Observation& observation) = 0;
  // Never an update. A correction is of the same opening and quantity as what it supersedes, and there is one
  // at most; made_at is filled in when it is empty.
  virtual model::MeasurementId add_measurement(const model::Measurement& measurement) = 0;
  virtual void withdraw_measurement(model::MeasurementId measurement) = 0;  // kept, no longer stands
  virtual model::PhotoUseId save_photo_use(const model::PhotoUse& use) = 0;
  virtual void remove_photo_use(model::PhotoUseId use) = 0;
  virtual model::RunId save_run(const model::Run& run) = 0;  // with all its parts, as typed
  virtual void remove_run(model::RunId run) = 0;             // refused while another run joins it
  virtual void save_bilge(const model::Bilge& bilge) = 0;
  virtual void save_yard_table(const model::YardTable& table) = 0;  // one of each name
  virtual void remove_yard_table(const std::string& name) = 0;
  virtual model::CameraProfileId add_camera_profile(
      const model::CameraProfile& profile) = 0;  // never an update
  virtual void remove_camera_profile(model::CameraProfileId profile) = 0;
};

class Store {
 public:
  // The folder must not be there yet, or be empty. Errors: AlreadyExists, FileMissing (no such parent),
  // StorageReadOnly, StorageFull. Leaves nothing behind on failure.
  [[nodiscard]] static Result<Store> create(const std::filesystem::path& folder);
  // Errors: FileMissing, NotALogbook, LogbookTooNew, LogbookBusy (ReadWrite while another process holds it),
  // LogbookDamaged, StorageReadOnly, StorageFull. An older format is brought up to date after a backup into
  // backups/; to read only, that happens in memory.
  [[nodiscard]] static Result<Store> open(const std::filesystem::path& folder,
                                          Access access = Access::ReadWrite);
  Store(Store&&) noexcept;
  Store& operator=(Store&&) noexcept;
  ~Store();

  [[nodiscard]] const std::filesystem::path& folder() const;
  [[nodiscard]] Access access() const;
  // What opening for writing found amiss and put right, e.g. what an import that was cut off left behind.
  [[nodiscard]] const std::vector<std::string>& notes() const;

  // Runs `change` in one transaction under `name`, e.g. "Move rim point, P-03". All or nothing. An exception
  // or a fault of the database rolls back and is returned as an Error in the user's words. An edit that
  // changes nothing is not recorded.
  [[nodiscard]] Result<void> edit(const std::string& name, const std::function<void(Edit&)>& change);
  [[nodiscard]] std::optional<std::string> undo_name() const;
  [[nodiscard]] std::optional<std::string> redo_name() const;
  [[nodiscard]] Result<void> undo();
  [[nodiscard]] Result<void> redo();
  // Every edit that undo and redo can reach, oldest first.
  [[nodiscard]] Result<std::vector<model::PastEdit>> history() const;

  // Brings what `theirs` holds into this logbook, as one edit: two copies of one logbook that were both
  // worked on since. What both changed differently is listed in `open` and nothing is changed, unless
  // `choices` decides all of it. Errors: Refused when they did not begin as one.
  [[nodiscard]] Result<MergeOutcome> merge(const Store& theirs, const MergeChoices& choices);
  // The same, told and not done.
  [[nodiscard]] Result<MergeOutcome> plan_merge(const Store& theirs, const MergeChoices& choices) const;

  // Keeps the original under its SHA-256 (temporary file, fsync, rename) and returns its record; the same
  // bytes again return the record that is there. Not undone: an original, once acknowledged, stays. Not
  // inside an edit.
  [[nodiscard]] Result<model::Photo> keep_photo(const NewPhoto& photo);
  [[nodiscard]] Result<std::vector<std::uint8_t>> photo_bytes(model::PhotoId photo) const;
  [[nodiscard]] std::filesystem::path photo_path(const model::Photo& photo) const;

  [[nodiscard]] Result<std::optional<model::Vessel>> vessel() const;
  [[nodiscard]] Result<std::vector<model::Opening>> openings() const;  // by tag, natural order
  [[nodiscard]] Result<std::vector<model::Fitting>> fittings() const;
  [[nodiscard]] Result<std::vector<model::Run>> runs() const;  // in the order they were added
  [[nodiscard]] Result<model::Bilge> bilge() const;
  [[nodiscard]] Result<std::vector<model::Survey>> surveys() const;  // by date, newest last
  [[nodiscard]] Result<std::vector<model::Observation>> observations(model::SurveyId survey) const;
  [[nodiscard]] Result<std::vector<model::Observation>> observations() const;  // of all, oldest survey first
  // Those that stand, oldest first. What was superseded does not stand again when its correction is
  // withdrawn: an unknown value is safer than one that was once found wrong.
  [[nodiscard]] Result<std::vector<model::Measurement>> measurements() const;
  [[nodiscard]] Result<std::vector<model::Measurement>> all_measurements()
      const;  // superseded, withdrawn too
  [[nodiscard]] Result<std::vector<model::MeasurementId>> withdrawn() const;
  [[nodiscard]] Result<std::vector<model::Photo>> photos() const;
  [[nodiscard]] Result<std::vector<model::PhotoUse>> photo_uses() const;
  [[nodiscard]] Result<std::vector<model::YardTable>> yard_tables() const;
  [[nodiscard]] Result<std::vector<model::CameraProfile>> camera_profiles() const;  // by camera, newest last

  // Runs `look` over one state of the logbook, whatever another process writes meanwhile: for reading several
  // lists that must fit together.
  [[nodiscard]] Result<void> in_one_view(const std::function<void()>& look) const;

  // Every hash, reference, count and recorded change. Reads each original once, so it takes seconds per
  // gigabyte.
  [[nodiscard]] Result<VerifyReport> verify() const;

 private:
  struct Impl;
  explicit Store(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace spile::db
