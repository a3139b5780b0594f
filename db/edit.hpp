// The one implementation of Edit: writes records and keeps a changeset of each step.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <functional>
#include <string>
#include <vector>

#include "db/store.hpp"

namespace spile::db {

class RecordedEdit : public Edit {
 public:
  explicit RecordedEdit(SQLite::Database& db) : db_(db) {}

  void save_vessel(const model::Vessel& vessel) override;
  model::OpeningId save_opening(const model::Opening& opening) override;
  void remove_opening(model::OpeningId opening) override;
  model::FittingId save_fitting(const model::Fitting& fitting) override;
  void remove_fitting(model::FittingId fitting) override;
  model::SurveyId save_survey(const model::Survey& survey) override;
  void remove_survey(model::SurveyId survey) override;
  model::ObservationId save_observation(const model::Observation& observation) override;
  model::MeasurementId add_measurement(const model::Measurement& measurement) override;
  void withdraw_measurement(model::MeasurementId measurement) override;
  model::PhotoUseId save_photo_use(const model::PhotoUse& use) override;
  void remove_photo_use(model::PhotoUseId use) override;
  model::RunId save_run(const model::Run& run) override;
  void remove_run(model::RunId run) override;
  void save_bilge(const model::Bilge& bilge) override;
  void save_yard_table(const model::YardTable& table) override;
  void remove_yard_table(const std::string& name) override;
  model::CameraProfileId add_camera_profile(const model::CameraProfile& profile) override;
  void remove_camera_profile(model::CameraProfileId profile) override;

  // Rows written by `work` as they are, as one step.
  void rows_step(const std::function<void()>& work);

  [[nodiscard]] const std::vector<std::string>& steps() const { return steps_; }
  // A step threw; what it half did must not be kept even if the caller swallowed the exception.
  [[nodiscard]] const std::exception_ptr& fault() const { return fault_; }

 private:
  std::int64_t step(const std::function<std::int64_t()>& work);

  SQLite::Database& db_;
  std::vector<std::string> steps_;
  std::exception_ptr fault_;
};

}  // namespace spile::db
