// Use cases on photos of one opening from two surveys: which there are, comparing two of them beside the
// window, and a crack traced by hand in them as records.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/jobs.hpp"
#include "app/session.hpp"
#include "vision/seasons.hpp"

namespace spile::app {

struct SurveyPhoto {
  model::Survey survey;
  PhotoView view;
};

// Of the opening, in every survey, oldest survey first.
[[nodiscard]] std::vector<SurveyPhoto> photos_by_survey(const Snapshot& snapshot, const OpeningView& opening);
// Indices of the two to begin with: of the last two surveys with photos, those a hole was measured in.
// Nothing when all photos are of one survey.
[[nodiscard]] std::optional<std::pair<std::size_t, std::size_t>> pair_to_compare(
    const std::vector<SurveyPhoto>& photos);

struct PhotosCompared {
  vision::Comparison comparison;  // refused "cancelled" after a cancel
  // The earlier photo as the later one's camera would have seen it; only where they are aligned.
  std::optional<vision::Picture> earlier_as_later;
};

// Decodes both stored photos once and compares them on the worker. Both callbacks run on the main thread:
// `on_loaded` as soon as the photos can be shown, `on_compared` at the end; after an error only the latter,
// with the error.
struct CompareCallbacks {
  std::function<void(const vision::Picture& earlier, const vision::Picture& later)> on_loaded;
  std::function<void(Result<PhotosCompared>)> on_compared;
};
std::uint64_t start_compare(Jobs& jobs, Session& session, const PhotoView& earlier, const PhotoView& later,
                            vision::CompareRequest request, CompareCallbacks callbacks);

// "new crack, 18.2 ± 1.0 mm long"; "stain, 144 ± 13 mm², was about 62 mm²".
[[nodiscard]] std::string sentence(const vision::Change& change);
// "New crack", "Stain, grown"; and its size with interval alone.
[[nodiscard]] std::string title_of(const vision::Change& change);
[[nodiscard]] std::string size_of(const vision::Change& change);
// "2 changes", "No change found".
[[nodiscard]] std::string summary(const vision::Comparison& comparison);

// What a crack traced by hand on one of the photos is in the logbook: of the survey the photo is filed in.
[[nodiscard]] model::Measurement crack_record(const vision::TracedLength& length,
                                              const std::vector<vision::PixelPoint>& points,
                                              const SurveyPhoto& photo, model::OpeningId opening);
// "grown by 13.4 ± 0.8 mm" or "no growth beyond what tracing can tell (0.4 ± 0.8 mm)"; the two lengths taken
// as independent.
[[nodiscard]] std::string growth(const vision::TracedLength& earlier, const vision::TracedLength& later);

}  // namespace spile::app
