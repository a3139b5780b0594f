// Use cases on seasons: a survey begun from the one before it, and what was carried over confirmed.
#include <fmt/format.h>

#include "app/access.hpp"
#include "app/checklist.hpp"
#include "units/civil_date.hpp"

namespace spile::app {

namespace {

Result<void> comes_after(const model::Survey& survey, const std::vector<model::Survey>& surveys) {
  if (!units::parse_date(survey.date))
    return fail(ErrorCode::BadInput, fmt::format("\"{}\" is not a date.", survey.date),
                "Write year, month and day, such as 2026-04-12.");
  if (surveys.empty())
    return fail(ErrorCode::NotFound, "There is no survey to begin the next one from.",
                "Begin the first one, and look at the openings.");
  if (survey.date > surveys.back().date) return {};
  return fail(ErrorCode::BadInput,
              fmt::format("A survey of {} does not come after the last one, of {}.", survey.date,
                          surveys.back().date),
              "Give it a later date, or open the survey that is there.");
}

}  // namespace

Result<model::SurveyId> Session::begin_from_last(const model::Survey& survey) {
  Access& a = *impl_->access;
  if (auto ok = comes_after(survey, a.snapshot.surveys); !ok) return tl::unexpected(std::move(ok.error()));
  const auto carried = carried_over(a.snapshot);
  model::SurveyId id;
  const auto name =
      fmt::format("Begin survey of {} from that of {}", survey.date, a.snapshot.surveys.back().date);
  auto done = a.edit(name, [&](db::Edit& edit) {
    id = edit.save_survey(survey);
    for (auto observation : carried) {
      observation.survey = id;
      edit.save_observation(observation);
    }
  });
  if (!done) return tl::unexpected(std::move(done.error()));
  if (auto chosen = choose_survey(id); !chosen) return tl::unexpected(std::move(chosen.error()));
  return id;
}

Result<void> Session::confirm(model::OpeningId opening) {
  const auto view = impl_->access->opening(opening);
  if (!view) return tl::unexpected(view.error());
  if (!(*view)->observation)
    return fail(ErrorCode::NotFound, "There is nothing to confirm at this opening in this survey.",
                "Put down what is seen.");
  model::Observation seen = *(*view)->observation;
  seen.seen = model::Seen::Looked;
  return save_observation(seen);
}

}  // namespace spile::app
