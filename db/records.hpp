// Reading: rows as records of the model. Throws SQLite::Exception, or a Fault LogbookDamaged for a value that
// this program does not know.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <optional>
#include <vector>

#include "model/camera_profile.hpp"
#include "model/measurement.hpp"
#include "model/opening.hpp"
#include "model/photo.hpp"
#include "model/survey.hpp"
#include "model/vessel.hpp"
#include "model/yard_table.hpp"

namespace spile::db {

[[nodiscard]] std::optional<model::Vessel> read_vessel(const SQLite::Database& db);
[[nodiscard]] std::vector<model::Opening> read_openings(const SQLite::Database& db);
[[nodiscard]] std::vector<model::Fitting> read_fittings(const SQLite::Database& db);
[[nodiscard]] std::vector<model::Survey> read_surveys(const SQLite::Database& db);
// Of all surveys, oldest survey first.
[[nodiscard]] std::vector<model::Observation> read_observations(const SQLite::Database& db);
[[nodiscard]] std::vector<model::Observation> read_observations(const SQLite::Database& db,
                                                                model::SurveyId survey);
enum class Which { Standing, All };
[[nodiscard]] std::vector<model::Measurement> read_measurements(const SQLite::Database& db, Which which);
[[nodiscard]] std::vector<model::MeasurementId> read_withdrawn(const SQLite::Database& db);
[[nodiscard]] std::vector<model::Photo> read_photos(const SQLite::Database& db);
[[nodiscard]] std::optional<model::Photo> find_photo(const SQLite::Database& db, model::PhotoId photo);
[[nodiscard]] std::optional<model::Photo> find_photo(const SQLite::Database& db, const std::string& sha256);
[[nodiscard]] std::vector<model::PhotoUse> read_photo_uses(const SQLite::Database& db);
[[nodiscard]] std::vector<model::YardTable> read_yard_tables(const SQLite::Database& db);
[[nodiscard]] std::vector<model::CameraProfile> read_camera_profiles(const SQLite::Database& db);

}  // namespace spile::db
