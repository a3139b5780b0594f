// Looking at and measuring a stored photo beside the window.
#include <fmt/format.h>

#include <exception>
#include <utility>

#include "app/access.hpp"
#include "app/photos.hpp"
#include "app/stored_picture.hpp"

namespace spile::app {

namespace {

Result<model::Photo> photo_of(const Snapshot& snapshot, model::PhotoId id) {
  for (const auto& view : snapshot.unfiled)
    if (view.photo.id == id) return view.photo;
  for (const auto& opening : snapshot.openings)
    for (const auto* photos : {&opening.photos, &opening.other_photos})
      for (const auto& view : *photos)
        if (view.photo.id == id) return view.photo;
  return fail(ErrorCode::NotFound, "That photo is not in this logbook.", "Choose another one.");
}

// A job that fails has to answer too: the window waits for it.
Result<vision::Picture> load_guarded(const std::filesystem::path& file, const std::string& name,
                                     Progress& progress) {
  try {
    progress.at("", 0, 0);
    if (progress.cancelled())
      return fail(ErrorCode::Cancelled, "The photo was not loaded.", "Open it again.");
    return decode_stored(file, name);
  } catch (const std::exception& e) {
    return fail(ErrorCode::Internal,
                fmt::format("{} could not be shown: something unforeseen went wrong.", name),
                "Close other programs to free memory and choose it again.", e.what());
  }
}

vision::Report measure_guarded(const vision::Picture& picture, const vision::Request& request,
                               Progress& progress) {
  try {
    progress.at("Measuring " + picture.name(), 0, 1);
    return vision::measure(picture, request, [&progress] { return progress.cancelled(); });
  } catch (const std::exception& e) {
    vision::Report report;
    report.refused = vision::Refusal{
        "unreadable",
        fmt::format("{} could not be worked on ({}). Measure it again.", picture.name(), e.what())};
    return report;
  }
}

}  // namespace

Result<vision::Picture> decode_stored(const std::filesystem::path& file, const std::string& name) {
  const auto bytes = vision::read_bytes(file);
  if (!bytes) {
    return fail(bytes.error().code,
                fmt::format("The original of {} could not be read from the logbook.", name),
                "Run \"spile verify\" on the logbook to see what else is missing.", bytes.error().what);
  }
  return vision::Picture::decode(*bytes, name);
}

std::uint64_t start_load(Jobs& jobs, Session& session, model::PhotoId photo,
                         std::function<void(Result<vision::Picture>)> on_loaded) {
  const auto& access = session.access();
  const auto record = photo_of(access.snapshot, photo);
  const auto file = record ? access.store.photo_path(*record) : std::filesystem::path();
  const std::string name = record ? "Load " + record->original_name : "Load photo";
  return jobs.start(name, [record, file, lenses = access.snapshot.cameras,
                           on_loaded = std::move(on_loaded)](Progress& progress) {
    auto loaded =
        record ? load_guarded(file, record->original_name, progress) : tl::unexpected(record.error());
    if (loaded) *loaded = loaded->with_lens_of(lenses);
    return [loaded = std::move(loaded), on_loaded] { on_loaded(loaded); };
  });
}

std::uint64_t start_measure(Jobs& jobs, vision::Picture picture, vision::Request request,
                            std::function<void(vision::Report)> on_measured) {
  const std::string name = "Measure " + picture.name();
  return jobs.start(name, [picture = std::move(picture), request = std::move(request),
                           on_measured = std::move(on_measured)](Progress& progress) {
    auto report = measure_guarded(picture, request, progress);
    return [report = std::move(report), on_measured] { on_measured(report); };
  });
}

}  // namespace spile::app
