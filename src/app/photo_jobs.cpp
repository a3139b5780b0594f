// Looking at and measuring a stored photo beside the window.
#include <fmt/format.h>

#include <utility>

#include "app/access.hpp"
#include "app/photos.hpp"

namespace spile::app {

namespace {

Result<model::Photo> photo_of(const Snapshot& snapshot, model::PhotoId id) {
  for (const auto& view : snapshot.unfiled)
    if (view.photo.id == id) return view.photo;
  for (const auto& opening : snapshot.openings)
    for (const auto& view : opening.photos)
      if (view.photo.id == id) return view.photo;
  return fail(ErrorCode::NotFound, "That photo is not in this survey.", "Choose another one.");
}

Result<vision::Picture> decode(const std::filesystem::path& file, const std::string& name) {
  const auto bytes = vision::read_bytes(file);
  if (!bytes) {
    return fail(bytes.error().code,
                fmt::format("The original of {} could not be read from the logbook.", name),
                "Run \"spile verify\" on the logbook to see what else is missing.", bytes.error().what);
  }
  return vision::Picture::decode(*bytes, name);
}

}  // namespace

std::uint64_t start_load(Jobs& jobs, Session& session, model::PhotoId photo,
                         std::function<void(Result<vision::Picture>)> on_loaded) {
  const auto& access = session.access();
  const auto record = photo_of(access.snapshot, photo);
  const auto file = record ? access.store.photo_path(*record) : std::filesystem::path();
  const std::string name = record ? "Load " + record->original_name : "Load photo";
  return jobs.start(name, [record, file, on_loaded = std::move(on_loaded)](Progress& progress) {
    progress.at("", 0, 0);
    if (progress.cancelled())
      return Jobs::Done([on_loaded] {
        on_loaded(fail(ErrorCode::Cancelled, "The photo was not loaded.", "Open it again."));
      });
    auto loaded = record ? decode(file, record->original_name) : tl::unexpected(record.error());
    return Jobs::Done([loaded = std::move(loaded), on_loaded] { on_loaded(loaded); });
  });
}

std::uint64_t start_measure(Jobs& jobs, vision::Picture picture, vision::Request request,
                            std::function<void(vision::Report)> on_measured) {
  const std::string name = "Measure " + picture.name();
  return jobs.start(name, [picture = std::move(picture), request = std::move(request),
                           on_measured = std::move(on_measured)](Progress& progress) {
    progress.at("Measuring " + picture.name(), 0, 1);
    auto report = vision::measure(picture, request, [&progress] { return progress.cancelled(); });
    return [report = std::move(report), on_measured] { on_measured(report); };
  });
}

}  // namespace spile::app
