// Desk: vessel, surveys, openings and what is recorded of them.
#include <algorithm>

#include "gui/desk.hpp"

namespace spile::gui {

namespace {
// What a result with an id says about success alone.
template <class T>
Result<void> outcome(const Result<T>& result) {
  if (!result) return tl::unexpected<Error>(result.error());
  return {};
}
}  // namespace

void Desk::on(const ChangeVessel& asked) {
  if (!session_) return;
  model::Vessel vessel = session_->snapshot().vessel.value_or(model::Vessel{});
  asked.change(vessel);
  done(session_->save_vessel(vessel));
}

void Desk::on(const ChangeSurvey& asked) {
  if (!session_) return;
  for (model::Survey survey : session_->snapshot().surveys) {
    if (survey.id != asked.survey) continue;
    asked.change(survey);
    done(outcome(session_->save_survey(survey)));
    return;
  }
}

model::Survey Desk::survey_of_today() const {
  model::Survey survey;
  survey.date = today();
  survey.title = "Survey of " + survey.date;
  const auto& surveys = session_->snapshot().surveys;
  if (!surveys.empty()) survey.surveyor = surveys.back().surveyor;
  return survey;
}

void Desk::on(const BeginSurvey&) {
  if (!session_) return;
  const auto id = session_->save_survey(survey_of_today());
  if (done(outcome(id))) on(ChooseSurvey{*id});
}

void Desk::on(const BeginSurveyFromLast&) {
  if (!session_) return;
  const auto id = session_->begin_from_last(survey_of_today());
  if (!done(outcome(id))) return;
  on(ChooseSurvey{*id});
  say("Everything put down last is carried over, to be confirmed on the walk round. Ctrl+Z takes it back.");
}

void Desk::on(const ConfirmObservation& asked) {
  if (session_) done(session_->confirm(asked.opening));
}

void Desk::on(const ChooseSurvey& asked) {
  if (!session_) return;
  done(session_->choose_survey(asked.survey));
  open_best_photo();
}

void Desk::on(const AddOpening&) {
  if (!session_) return;
  model::Opening opening;
  opening.tag = next_tag(session_->snapshot());
  const auto id = session_->save_opening(opening);
  if (!done(outcome(id))) return;
  state_.list.filter.clear();
  state_.list.sieve = Sieve::All;
  state_.page = Page::Desk;
  on(SelectOpening{*id});
  commands_.emplace_back(FocusPane{Pane::Record, "record.tag"});
}

void Desk::on(const ChangeOpening& asked) {
  const app::OpeningView* view = session_ ? session_->snapshot().find(asked.opening) : nullptr;
  if (!view) return;
  model::Opening opening = view->opening;
  asked.change(opening);
  done(outcome(session_->save_opening(opening)));
}

void Desk::on(const RemoveOpening& asked) {
  const app::OpeningView* view = session_ ? session_->snapshot().find(asked.opening) : nullptr;
  if (!view) return;
  const std::string tag = view->opening.tag;
  if (done(session_->remove_opening(asked.opening)))
    say("Opening " + tag + " and what was recorded of it are removed. Ctrl+Z brings them back.");
}

void Desk::on(const ChangeFitting& asked) {
  const app::OpeningView* view = session_ ? session_->snapshot().find(asked.opening) : nullptr;
  if (!view) return;
  model::Fitting fitting = view->fitting.value_or(model::Fitting{});
  fitting.opening = asked.opening;
  asked.change(fitting);
  done(session_->save_fitting(fitting));
}

void Desk::on(const ChangeObservation& asked) {
  const app::OpeningView* view = session_ ? session_->snapshot().find(asked.opening) : nullptr;
  if (!view) return;
  const model::Observation before = view->observation.value_or(model::Observation{});
  model::Observation observation = before;
  observation.opening = asked.opening;
  if (session_->snapshot().survey) observation.survey = *session_->snapshot().survey;
  asked.change(observation);
  // Who writes down what an opening is like has looked at it, unless they say otherwise.
  if (observation.seen == before.seen && before.seen == model::Seen::NotLookedAt)
    observation.seen = model::Seen::Looked;
  done(session_->save_observation(observation));
}

void Desk::on(const StartRun& asked) {
  if (!session_) return;
  if (asked.usual_parts) {
    done(outcome(session_->start_run(asked.opening)));
    return;
  }
  model::Run run;
  run.opening = asked.opening;
  done(outcome(session_->save_run(run)));
}

void Desk::on(const ChangeRun& asked) {
  const app::RunView* view = session_ ? session_->snapshot().water.find(asked.run) : nullptr;
  if (!view) return;
  model::Run run = view->run;
  asked.change(run);
  done(outcome(session_->save_run(run)));
}

void Desk::on(const RemoveRun& asked) {
  if (session_) done(session_->remove_run(asked.run));
}

void Desk::on(const ChangeBilge& asked) {
  if (session_) done(session_->type_bilge(asked.field, asked.typed));
}

void Desk::on(const ShowBeside& asked) {
  state_.beside = asked.what;
}

void Desk::on(const TypeMeasurement& asked) {
  if (!session_) return;
  done(outcome(session_->type_measurement(asked.opening, asked.quantity, asked.typed, asked.method, asked.u95,
                                          asked.label)));
}

void Desk::on(const WithdrawMeasurement& asked) {
  if (session_) done(session_->withdraw_measurement(asked.measurement));
}

// --- the list

void Desk::on(const SelectOpening& asked) {
  if (state_.selected == asked.opening && asked.opening) return;
  state_.selected = asked.opening;
  open_best_photo();
}

void Desk::on(const StepOpening& asked) {
  const auto shown = rows();
  if (shown.empty()) return;
  int at = asked.by > 0 ? -1 : static_cast<int>(shown.size());
  for (std::size_t i = 0; i < shown.size(); ++i)
    if (state_.selected == shown[i]->opening.id) at = static_cast<int>(i);
  const int last = static_cast<int>(shown.size()) - 1;
  on(SelectOpening{shown[static_cast<std::size_t>(std::clamp(at + asked.by, 0, last))]->opening.id});
}

void Desk::on(const SetFilter& asked) {
  state_.list.filter = asked.text;
}
void Desk::on(const SetSieve& asked) {
  state_.list.sieve = asked.sieve;
}
void Desk::on(const SetSort& asked) {
  state_.list.by = asked.by;
  state_.list.descending = asked.descending;
}

}  // namespace spile::gui
