// Use cases on photos: import files into the current survey, measure one, keep what was found, take it up by
// hand.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/jobs.hpp"
#include "app/session.hpp"
#include "vision/measure.hpp"

namespace spile::app {

struct ImportOutcome {
  std::filesystem::path file;
  std::optional<model::PhotoUseId> use;  // absent when the file could not be taken in
  bool already_there = false;            // same bytes were in this survey already
  std::optional<Error> error;
  std::optional<vision::Report> report;  // when it was measured on the way in
};

struct ImportOptions {
  std::optional<model::OpeningId> opening;  // file them under this opening
  bool measure = true;
  vision::Request request;
};

// Folders are walked one level deep for pictures, in natural order of their names. Each photo is one edit,
// acknowledged when the outcome is appended, so a power cut loses at most the photo in hand. A full or
// read-only disk ends the import at the photo it happened to; any other failure is told in that file's
// outcome and the others go on. `progress` may be null. Runs on the caller's thread.
[[nodiscard]] std::vector<ImportOutcome> import_photos(Session& session,
                                                       const std::vector<std::filesystem::path>& files,
                                                       const ImportOptions& options,
                                                       Progress* progress = nullptr);

// The same as a job: decoding and measuring on the worker, storing on the main thread, photo by photo.
std::uint64_t start_import(Jobs& jobs, Session& session, std::vector<std::filesystem::path> files,
                           ImportOptions options,
                           std::function<void(std::vector<ImportOutcome>)> on_finished);

// Decodes a stored photo (worker), to be measured with the logbook's profile of its camera if there is one,
// and hands it over on the main thread; after a cancel while it waited, the error Cancelled.
std::uint64_t start_load(Jobs& jobs, Session& session, model::PhotoId photo,
                         std::function<void(Result<vision::Picture>)> on_loaded);

// Measures on the worker; nothing is stored. `on_measured` runs on the main thread; after a cancel with the
// refusal "cancelled".
std::uint64_t start_measure(Jobs& jobs, vision::Picture picture, vision::Request request,
                            std::function<void(vision::Report)> on_measured);

// What a report says, as measurement records for one opening in the current survey (not stored yet).
// `hole` picks one of several; by-hand reports carry the method PhotoByHand, and so does what rests on a
// reference a person placed. A disc measured beside the reference is no hole and gives none.
[[nodiscard]] std::vector<model::Measurement> records_of(const vision::Report& report,
                                                         const vision::Request& request,
                                                         model::OpeningId opening, model::SurveyId survey,
                                                         model::PhotoId photo, std::size_t hole = 0);

// One line for the thumbnail: "hole 38.12 ± 0.11 mm" or "not measured: ...".
[[nodiscard]] std::string one_line(const vision::Report& report);

}  // namespace spile::app
