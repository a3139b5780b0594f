// Photos into the survey current at the start, photo by photo: what is slow (read, decode, measure) touches
// no logbook and runs on any thread; what is stored is one edit on the thread that owns the Session.
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <set>
#include <utility>

#include "app/access.hpp"
#include "app/log.hpp"
#include "app/photos.hpp"
#include "app/picture_files.hpp"
#include "app/supersede.hpp"
#include "db/sha256.hpp"

namespace spile::app {

namespace {

namespace fs = std::filesystem;

struct Prepared {
  fs::path file;
  std::vector<std::uint8_t> bytes;
  vision::PictureInfo info;
  std::optional<vision::Report> report;
};

Error cancelled_before(const fs::path& file) {
  return Error{ErrorCode::Cancelled,
               fmt::format("{} was not taken in: the import was stopped.", file.filename().string()),
               "Drop it in again to go on.",
               {}};
}

// `known` are hashes of photos that are where they are wanted already: no need to measure them again.
Result<Prepared> prepare(const fs::path& file, const ImportOptions& options,
                         const std::set<std::string>& known, const std::vector<model::CameraProfile>& lenses,
                         const Progress& progress) {
  auto bytes = vision::read_bytes(file);
  if (!bytes) return tl::unexpected(std::move(bytes.error()));
  auto picture = vision::Picture::decode(*bytes, file.filename().string());
  if (!picture) return tl::unexpected(picture.error());
  *picture = picture->with_lens_of(lenses);
  Prepared prepared{file, std::move(*bytes), picture->info(), std::nullopt};
  if (!options.measure || known.contains(db::sha256_hex(prepared.bytes))) return prepared;
  const auto stop = [&progress] { return progress.cancelled(); };
  prepared.report = vision::measure(*picture, options.request, stop);
  if (stop()) return tl::unexpected(cancelled_before(file));
  return prepared;
}

// One picture too large for the memory at hand must not lose the others.
Result<Prepared> prepare_guarded(const fs::path& file, const ImportOptions& options,
                                 const std::set<std::string>& known,
                                 const std::vector<model::CameraProfile>& lenses, const Progress& progress) {
  try {
    return prepare(file, options, known, lenses, progress);
  } catch (const std::exception& e) {
    return fail(
        ErrorCode::Internal,
        fmt::format("{} could not be taken in: something unforeseen went wrong.", file.filename().string()),
        "Close other programs to free memory and drop it in again.", e.what());
  }
}

model::Photo record_of(const Prepared& prepared, const Clock& clock) {
  model::Photo photo;
  photo.original_name = prepared.file.filename().string();
  photo.media_type = prepared.info.media_type;
  photo.bytes = static_cast<std::int64_t>(prepared.bytes.size());
  photo.width_px = prepared.info.width_px;
  photo.height_px = prepared.info.height_px;
  photo.exif_orientation = prepared.info.exif_orientation;
  photo.taken_at = prepared.info.taken_at;
  photo.camera = prepared.info.camera;
  photo.focal_35mm = prepared.info.focal_35mm;
  photo.imported_at = clock.now_utc();
  return photo;
}

// The use of these bytes in that survey: under the opening asked for, else one not filed yet, else, when no
// opening was asked for, any.
std::optional<model::PhotoUse> use_in_survey(const std::vector<model::PhotoUse>& uses, model::PhotoId photo,
                                             model::SurveyId survey,
                                             std::optional<model::OpeningId> opening) {
  const auto search = [&](const auto& fits) -> std::optional<model::PhotoUse> {
    for (const auto& use : uses)
      if (use.photo == photo && use.survey == survey && fits(use)) return use;
    return std::nullopt;
  };
  if (opening)
    if (auto use = search([&](const model::PhotoUse& u) { return u.opening == opening; })) return use;
  if (auto use = search([](const model::PhotoUse& u) { return !u.opening; })) return use;
  if (opening) return std::nullopt;
  return search([](const model::PhotoUse&) { return true; });
}

// The largest hole; a coin or washer measured beside it is none.
std::size_t first_hole(const vision::Report& report) {
  const auto is_hole = [](const vision::Hole& hole) { return hole.rim == "hole"; };
  return static_cast<std::size_t>(std::find_if(report.holes.begin(), report.holes.end(), is_hole) -
                                  report.holes.begin());
}

// One edit: the use, and where the opening is known what was measured for it.
Result<model::PhotoUse> file_under_edit(Session::Access& access, const Prepared& prepared,
                                        const model::Photo& photo, model::PhotoUse use,
                                        const ImportOptions& options) {
  use.photo = photo.id;
  use.opening = options.opening ? options.opening : use.opening;
  if (prepared.report) use.finding = one_line(*prepared.report);
  const auto* opening = use.opening ? access.snapshot.find(*use.opening) : nullptr;
  const std::string verb = use.id.stored() ? "File" : "Import";
  const std::string where = opening == nullptr ? "" : ", " + opening->opening.tag;
  // Not the snapshot's: that may show an earlier survey by now.
  const auto standing = access.store.measurements();
  if (!standing) return tl::unexpected(standing.error());
  auto done = access.edit(fmt::format("{} {}{}", verb, photo.original_name, where), [&](db::Edit& edit) {
    if (!use.survey.stored()) use.survey = access.survey_within(edit);
    use.id = edit.save_photo_use(use);
    if (opening == nullptr || !prepared.report) return;
    auto fresh = records_of(*prepared.report, options.request, *use.opening, use.survey, photo.id,
                            first_hole(*prepared.report));
    for (auto& m : fresh) m.made_at = access.clock.now_utc();
    const auto replacement = replacing(*standing, std::move(fresh));
    for (const auto& m : replacement.add) edit.add_measurement(m);
    for (const auto id : replacement.withdraw) edit.withdraw_measurement(id);
  });
  if (!done) return tl::unexpected(std::move(done.error()));
  return use;
}

ImportOutcome failed(const fs::path& file, Error error) {
  log_error(error);
  ImportOutcome outcome;
  outcome.file = file;
  outcome.error = std::move(error);
  return outcome;
}

Result<void> survey_is_there(const Snapshot& snapshot, std::optional<model::SurveyId> survey,
                             const fs::path& file) {
  const auto wanted = [&](const model::Survey& s) { return s.id == survey; };
  if (!survey || std::any_of(snapshot.surveys.begin(), snapshot.surveys.end(), wanted)) return {};
  return fail(ErrorCode::NotFound,
              fmt::format("{} was not taken in: the survey it was meant for is no longer in this logbook.",
                          file.filename().string()),
              "Choose a survey and drop the photo in again.");
}

// `survey` is the one that was current when the import started; where there was none, the first photo stored
// begins it.
ImportOutcome store(Session::Access& access, Result<Prepared> prepared, const fs::path& file,
                    const ImportOptions& options, std::optional<model::SurveyId>& survey) {
  if (!prepared) return failed(file, std::move(prepared.error()));
  if (const auto there = survey_is_there(access.snapshot, survey, file); !there)
    return failed(file, there.error());
  if (options.opening)
    if (const auto opening = access.opening(*options.opening); !opening) return failed(file, opening.error());
  const auto photo = access.store.keep_photo({prepared->bytes, record_of(*prepared, access.clock)});
  if (!photo) return failed(file, photo.error());
  const auto uses = access.store.photo_uses();
  if (!uses) return failed(file, uses.error());
  if (!survey) survey = access.snapshot.survey;
  const auto existing = survey ? use_in_survey(*uses, photo->id, *survey, options.opening) : std::nullopt;
  ImportOutcome outcome;
  outcome.file = file;
  outcome.already_there = existing.has_value();
  outcome.report = std::move(prepared->report);
  if (existing && (!options.opening || existing->opening == options.opening)) {
    outcome.use = existing->id;
    return outcome;
  }
  prepared->report = outcome.report;
  model::PhotoUse fresh;
  if (survey) fresh.survey = *survey;
  const auto use = file_under_edit(access, *prepared, *photo, existing.value_or(fresh), options);
  if (!use) return failed(file, use.error());
  survey = use->survey;
  outcome.use = use->id;
  return outcome;
}

// Trying the next photo would meet the same trouble.
bool ends_the_import(const ImportOutcome& outcome) {
  if (!outcome.error) return false;
  const auto code = outcome.error->code;
  return code == ErrorCode::StorageFull || code == ErrorCode::StorageReadOnly ||
         code == ErrorCode::Cancelled || code == ErrorCode::LogbookBusy || code == ErrorCode::LogbookDamaged;
}

// What the worker and the steps it hands over share. `outcomes` belongs to the Session's thread.
struct Import {
  std::weak_ptr<Session::Access> access;
  std::vector<fs::path> named;
  ImportOptions options;
  std::set<std::string> known;  // SHA-256 of what is there already
  std::vector<model::CameraProfile> lenses;
  std::optional<model::SurveyId> survey;  // photos go there, whatever is current by then
  std::vector<ImportOutcome> outcomes;
  std::atomic<bool> ended = false;

  void keep(const fs::path& file, Result<Prepared> prepared) {
    if (ended) return;
    const auto open = access.lock();
    outcomes.push_back(open ? store(*open, std::move(prepared), file, options, survey)
                            : failed(file, Error{ErrorCode::Cancelled,
                                                 fmt::format("{} was not taken in: the logbook was closed.",
                                                             file.filename().string()),
                                                 "Open it and drop the photo in again.",
                                                 {}}));
    if (ends_the_import(outcomes.back())) ended = true;
  }
};

void run(const std::shared_ptr<Import>& import, Progress& progress) {
  const auto files = picture_files(import->named);
  const int total = static_cast<int>(files.size());
  int done = 0;
  for (const auto& file : files) {
    if (import->ended) return;
    const char* verb = import->options.measure ? "Measuring" : "Reading";
    progress.at(fmt::format("{} {}", verb, file.filename().string()), done++, total);
    auto prepared = progress.cancelled()
                        ? Result<Prepared>(tl::unexpected(cancelled_before(file)))
                        : prepare_guarded(file, import->options, import->known, import->lenses, progress);
    // A std::function has to be copyable; the bytes are not to be copied.
    auto held = std::make_shared<Result<Prepared>>(std::move(prepared));
    progress.hand_over([import, file, held] { import->keep(file, std::move(*held)); });
    if (progress.cancelled()) return;
  }
  progress.at("", total, total);
}

class Unwatched final : public Progress {
 public:
  void at(const std::string&, int, int) override {}
  [[nodiscard]] bool cancelled() const override { return false; }
};

std::set<std::string> hashes_there(const Snapshot& snapshot, std::optional<model::OpeningId> opening) {
  std::set<std::string> hashes;
  const auto add = [&](const std::vector<PhotoView>& views) {
    for (const auto& view : views) hashes.insert(view.photo.sha256);
  };
  if (!opening) add(snapshot.unfiled);
  for (const auto& view : snapshot.openings)
    if (!opening || view.opening.id == *opening) add(view.photos);
  return hashes;
}

std::shared_ptr<Import> new_import(Session& session, std::vector<fs::path> files, ImportOptions options) {
  auto import = std::make_shared<Import>();
  import->access = session.access().weak_from_this();
  import->named = std::move(files);
  import->known = hashes_there(session.snapshot(), options.opening);
  import->lenses = session.snapshot().cameras;
  import->survey = session.snapshot().survey;
  import->options = std::move(options);
  return import;
}

}  // namespace

std::vector<ImportOutcome> import_photos(Session& session, const std::vector<fs::path>& files,
                                         const ImportOptions& options, Progress* progress) {
  const auto import = new_import(session, files, options);
  Unwatched unwatched;
  run(import, progress == nullptr ? unwatched : *progress);
  return std::move(import->outcomes);
}

std::uint64_t start_import(Jobs& jobs, Session& session, std::vector<fs::path> files, ImportOptions options,
                           std::function<void(std::vector<ImportOutcome>)> on_finished) {
  const auto import = new_import(session, std::move(files), std::move(options));
  return jobs.start("Import photos", [import, on_finished = std::move(on_finished)](Progress& progress) {
    run(import, progress);
    return [import, on_finished] {
      if (on_finished) on_finished(std::move(import->outcomes));
    };
  });
}

}  // namespace spile::app
