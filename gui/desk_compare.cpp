// Desk: two photos of one opening from two surveys.
#include "gui/desk.hpp"

namespace spile::gui {

bool Desk::can_compare() const {
  const app::OpeningView* opening = selected();
  return opening && !opening->other_photos.empty() &&
         app::pair_to_compare(app::photos_by_survey(session_->snapshot(), *opening)).has_value();
}

void Desk::on(const CompareSurveys&) {
  if (!can_compare()) return;
  const bool same = comparing_->open() && comparing_->state().opening == *state_.selected;
  if (!same) comparing_->begin(*session_, *selected());
  state_.page = Page::Compare;
}

void Desk::on(const ComparePhoto& asked) {
  if (session_ && comparing_->open()) comparing_->choose(*session_, asked.as, asked.use);
}
void Desk::on(const StopComparing&) {
  comparing_->cancel();
}
void Desk::on(const ShowAs& asked) {
  comparing_->show_as(asked.showing);
}
void Desk::on(const SetBlink& asked) {
  comparing_->set_blink(asked.a_second);
}
void Desk::on(const FlipPhotos&) {
  comparing_->flip();
}
void Desk::on(const SetWipe& asked) {
  comparing_->set_wipe(asked.share);
}
void Desk::on(const SetOutlines& asked) {
  comparing_->set_outlines(asked.on);
}
void Desk::on(const ChooseChange& asked) {
  comparing_->choose_change(asked.change);
}
void Desk::on(const NeedSeasonTile& asked) {
  comparing_->need_tile(asked.of, asked.column, asked.row);
}
void Desk::on(const SetTracing& asked) {
  comparing_->set_tracing(asked.on && can_edit());
}
void Desk::on(const PlaceTrace& asked) {
  comparing_->place(asked.on, asked.at, asked.u_px);
}
void Desk::on(const GrabTrace& asked) {
  comparing_->grab(asked.on, asked.index, asked.just_placed);
}
void Desk::on(const MoveTrace& asked) {
  comparing_->move(asked.to, asked.u_px);
}
void Desk::on(const DropTrace&) {
  comparing_->drop();
}
void Desk::on(const TakeBackTrace& asked) {
  comparing_->take_back(asked.on);
}
void Desk::on(const TraceFromChange&) {
  if (can_edit()) comparing_->trace_from_change();
}

void Desk::on(const KeepTraces&) {
  const app::OpeningView* opening =
      session_ ? session_->snapshot().find(comparing_->state().opening) : nullptr;
  const auto records = comparing_->records();
  if (!can_edit() || !opening || records.empty()) return;
  if (!done(session_->record_measurements("Trace a crack, " + opening->opening.tag, records))) return;
  comparing_->put_aside();
  say("Kept for " + opening->opening.tag + ": the crack's length" +
      (records.size() > 1 ? " in both surveys." : " in one survey."));
}

void Desk::on(const PutTracesAside&) {
  comparing_->put_aside();
}

}  // namespace spile::gui
