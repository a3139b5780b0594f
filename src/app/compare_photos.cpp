#include "app/compare_photos.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>

#include "app/access.hpp"
#include "app/stored_picture.hpp"

namespace spile::app {

namespace {

bool has_hole(const SurveyPhoto& photo) {
  return photo.view.use.finding.rfind("hole", 0) == 0;
}

// The last photo of a survey that a hole was measured in, else its last one.
std::size_t best_of(const std::vector<SurveyPhoto>& photos, model::SurveyId survey) {
  std::size_t best = photos.size();
  for (std::size_t i = 0; i < photos.size(); ++i) {
    if (photos[i].survey.id != survey) continue;
    if (best == photos.size() || has_hole(photos[i]) || !has_hole(photos[best])) best = i;
  }
  return best;
}

struct Stored {
  std::filesystem::path file;
  std::string name;
};

struct Wanted {
  Stored earlier, later;
  std::vector<model::CameraProfile> lenses;
  vision::CompareRequest request;
};

Result<vision::Picture> loaded(const Stored& photo, const Wanted& wanted, Progress& progress) {
  if (progress.cancelled())
    return fail(ErrorCode::Cancelled, "The photos were not compared.", "Ask for it again.");
  auto picture = decode_stored(photo.file, photo.name);
  if (picture) *picture = picture->with_lens_of(wanted.lenses);
  return picture;
}

Result<PhotosCompared> compared(const Wanted& wanted, const CompareCallbacks& callbacks, Progress& progress) {
  progress.at("Reading the photos", 0, 4);
  auto earlier = loaded(wanted.earlier, wanted, progress);
  if (!earlier) return tl::unexpected(std::move(earlier.error()));
  auto later = loaded(wanted.later, wanted, progress);
  if (!later) return tl::unexpected(std::move(later.error()));
  progress.hand_over([on_loaded = callbacks.on_loaded, a = *earlier, b = *later] { on_loaded(a, b); });
  PhotosCompared out;
  out.comparison = vision::compare(
      *earlier, *later, wanted.request, [&progress] { return progress.cancelled(); },
      [&progress](const std::string& stage, int done, int total) {
        progress.at(stage, done + 1, total + 1);
      });
  if (out.comparison.aligned && !out.comparison.refused)
    out.earlier_as_later = vision::as_seen_later(*earlier, *later, out.comparison);
  return out;
}

Result<PhotosCompared> compared_guarded(const Wanted& wanted, const CompareCallbacks& callbacks,
                                        Progress& progress) {
  try {
    return compared(wanted, callbacks, progress);
  } catch (const std::exception& e) {
    return fail(ErrorCode::Internal, "The two photos could not be compared: something unforeseen went wrong.",
                "Close other programs to free memory and compare them again.", e.what());
  }
}

}  // namespace

std::vector<SurveyPhoto> photos_by_survey(const Snapshot& snapshot, const OpeningView& opening) {
  std::vector<SurveyPhoto> out;
  for (const auto& survey : snapshot.surveys) {
    for (const auto* photos : {&opening.photos, &opening.other_photos})
      for (const auto& view : *photos)
        if (view.use.survey == survey.id) out.push_back({survey, view});
  }
  return out;
}

std::optional<std::pair<std::size_t, std::size_t>> pair_to_compare(const std::vector<SurveyPhoto>& photos) {
  if (photos.empty()) return std::nullopt;
  const auto last = photos.back().survey.id;
  const auto before =
      std::find_if(photos.rbegin(), photos.rend(), [&](const SurveyPhoto& p) { return p.survey.id != last; });
  if (before == photos.rend()) return std::nullopt;
  return std::pair{best_of(photos, before->survey.id), best_of(photos, last)};
}

std::uint64_t start_compare(Jobs& jobs, Session& session, const PhotoView& earlier, const PhotoView& later,
                            vision::CompareRequest request, CompareCallbacks callbacks) {
  const auto& access = session.access();
  const auto stored = [&](const PhotoView& photo) {
    return Stored{access.store.photo_path(photo.photo), photo.photo.original_name};
  };
  Wanted wanted{stored(earlier), stored(later), access.snapshot.cameras, std::move(request)};
  const std::string name =
      fmt::format("Compare {} with {}", earlier.photo.original_name, later.photo.original_name);
  return jobs.start(name, [wanted = std::move(wanted), callbacks = std::move(callbacks)](Progress& progress) {
    auto answer = compared_guarded(wanted, callbacks, progress);
    return Jobs::Done(
        [answer = std::move(answer), on_compared = callbacks.on_compared] { on_compared(answer); });
  });
}

}  // namespace spile::app
