#include "gui/comparing.hpp"

#include <algorithm>
#include <utility>

namespace spile::gui {

namespace {

using vision::Season;

std::size_t at(Season season) {
  return static_cast<std::size_t>(season);
}

// More flashes than three a second can bring on a seizure: WCAG 2.1, success criterion 2.3.1.
constexpr double kSlowest = 0.25, kFastest = 3;

}  // namespace

std::optional<model::PixelPoint> CompareState::drawn_at(Season of, model::PixelPoint p) const {
  if (!aligned() || of == Season::Later) return p;
  return vision::in_other(*comparison, Season::Earlier, p);
}

std::optional<model::PixelPoint> CompareState::of_photo(Season on, model::PixelPoint drawn) const {
  if (!aligned() || on == Season::Later) return drawn;
  return vision::in_other(*comparison, Season::Later, drawn);
}

void Comparing::begin(app::Session& session, const app::OpeningView& opening) {
  auto photos = app::photos_by_survey(session.snapshot(), opening);
  const auto pair = app::pair_to_compare(photos);
  if (!pair) return;
  close();
  state_.opening = opening.opening.id;
  state_.photos = std::move(photos);
  state_.chosen = {pair->first, pair->second};
  start(session);
}

void Comparing::close() {
  ++pair_;
  jobs_.cancel(job_);
  job_ = 0;
  state_ = {};
  past_.clear();
  future_.clear();
  held_.reset();
  for (auto& asked : tiles_asked_) asked.clear();
}

void Comparing::choose(app::Session& session, Season of, model::PhotoUseId use) {
  const auto hit = std::find_if(state_.photos.begin(), state_.photos.end(),
                                [use](const app::SurveyPhoto& p) { return p.view.use.id == use; });
  if (hit == state_.photos.end()) return;
  CompareState kept;
  kept.opening = state_.opening;
  kept.photos = state_.photos;
  kept.chosen = state_.chosen;
  kept.chosen[at(of)] = static_cast<std::size_t>(hit - state_.photos.begin());
  kept.showing = Showing::SideBySide;
  kept.blinks_a_second = state_.blinks_a_second;
  close();
  state_ = std::move(kept);
  start(session);
}

void Comparing::start(app::Session& session) {
  state_.work = CompareState::Work::Running;
  app::CompareCallbacks callbacks;
  callbacks.on_loaded = [this, pair = pair_](const vision::Picture& earlier, const vision::Picture& later) {
    if (pair == pair_) loaded(earlier, later);
  };
  callbacks.on_compared = [this, pair = pair_](Result<app::PhotosCompared> answer) {
    if (pair == pair_) compared(std::move(answer));
  };
  job_ = app::start_compare(jobs_, session, state_.photo(Season::Earlier).view,
                            state_.photo(Season::Later).view, {}, std::move(callbacks));
}

void Comparing::cancel() {
  if (state_.work != CompareState::Work::Running) return;
  state_.cancelling = true;
  jobs_.cancel(job_);
}

std::optional<app::JobStatus> Comparing::job() const {
  for (const app::JobStatus& job : jobs_.status())
    if (job.id == job_) return job;
  return std::nullopt;
}

void Comparing::failed(const app::JobFailure& failure) {
  if (failure.job != job_) return;
  state_.work = CompareState::Work::Failed;
  state_.failure = failure.error.sentence();
}

void Comparing::loaded(const vision::Picture& earlier, const vision::Picture& later) {
  state_.pictures = {earlier, later};
  show(Season::Earlier, earlier);
  show(Season::Later, later);
}

void Comparing::compared(Result<app::PhotosCompared> answer) {
  if (!answer) {
    state_.work = CompareState::Work::Failed;
    state_.failure = answer.error().sentence();
    return;
  }
  state_.work = CompareState::Work::Done;
  state_.comparison = std::move(answer->comparison);
  if (!answer->earlier_as_later) return;
  tiles_asked_[at(Season::Earlier)].clear();
  // Under another number: its tiles are not those of the photo as taken.
  ++pair_;
  show(Season::Earlier, *answer->earlier_as_later);
  show(Season::Later, *state_.pictures[at(Season::Later)]);
}

// Shrinking twelve million pixels takes longer than a frame.
void Comparing::show(Season of, const vision::Picture& picture) {
  state_.shown[at(of)] = picture;
  tiles_asked_[at(of)].clear();
  picture_jobs_.start("Preparing the photo", [this, of, picture, pair = pair_](app::Progress& progress) {
    if (progress.cancelled()) return app::Jobs::Done();
    auto pixels = std::make_shared<vision::Rgba>(picture.view(Bench::kViewSide));
    return app::Jobs::Done([this, of, pixels, pair] {
      if (pair != pair_) return;
      uploads_.push_back({{TextureKey::Kind::Season, texture_of(of), 0, 0}, std::move(*pixels)});
    });
  });
}

void Comparing::need_tile(Season of, int column, int row) {
  const auto& picture = state_.shown[at(of)];
  if (!picture || !tiles_asked_[at(of)].insert({column, row}).second) return;
  picture_jobs_.start("Sharpening the view", [this, of, picture = *picture, column, row,
                                              pair = pair_](app::Progress& progress) {
    if (progress.cancelled()) return app::Jobs::Done();
    constexpr int kSide = Bench::kTileSide;
    auto pixels = std::make_shared<vision::Rgba>(picture.tile(column * kSide, row * kSide, kSide, kSide));
    return app::Jobs::Done([this, of, pixels, column, row, pair] {
      if (pair != pair_) return;
      tiles_asked_[at(of)].erase({column, row});
      uploads_.push_back({{TextureKey::Kind::SeasonTile, texture_of(of), column, row}, std::move(*pixels)});
    });
  });
}

void Comparing::show_as(Showing showing) {
  // One over the other means something only where they lie on one another.
  if (showing != Showing::SideBySide && !state_.aligned()) return;
  state_.showing = showing;
  state_.blink_held = false;
  if (showing != Showing::SideBySide) state_.tracing = false;
}

void Comparing::set_blink(double blinks_a_second) {
  state_.blinks_a_second = std::clamp(blinks_a_second, kSlowest, kFastest);
  state_.blink_held = false;
}

void Comparing::flip() {
  if (state_.showing != Showing::Blink) return;
  state_.blink_earlier = !state_.blink_earlier;
  state_.blink_held = true;
}

void Comparing::set_wipe(double share) {
  state_.wipe = std::clamp(share, 0.0, 1.0);
}

// --- tracing

void Comparing::set_tracing(bool on) {
  state_.tracing = on;
  if (on) state_.showing = Showing::SideBySide;
}

void Comparing::step(std::string name) {
  past_.push_back({std::move(name), state_.draft});
  future_.clear();
}

void Comparing::place(Season on, model::PixelPoint point, double u_px) {
  step("Place point of a crack");
  state_.draft.points[at(on)].push_back(point);
  state_.draft.placed_px[at(on)] = std::max(state_.draft.placed_px[at(on)], u_px);
  measure_traces();
}

void Comparing::grab(Season on, std::size_t index, bool just_placed) {
  if (index >= state_.draft.points[at(on)].size()) return;
  held_ = std::pair{on, index};
  step_made_ = just_placed;
}

void Comparing::move(model::PixelPoint to, double u_px) {
  if (!held_) return;
  auto& points = state_.draft.points[at(held_->first)];
  if (held_->second >= points.size() || points[held_->second] == to) return;
  if (!step_made_) step("Move point of a crack");
  step_made_ = true;
  points[held_->second] = to;
  auto& placed = state_.draft.placed_px[at(held_->first)];
  placed = std::max(placed, u_px);
  measure_traces();
}

void Comparing::drop() {
  held_.reset();
}

void Comparing::take_back(Season on) {
  auto& points = state_.draft.points[at(on)];
  if (points.empty()) return;
  step("Take back point of a crack");
  points.pop_back();
  measure_traces();
}

void Comparing::trace_from_change() {
  if (!state_.aligned() || !state_.change || *state_.change >= state_.comparison->changes.size()) return;
  const vision::Change& change = state_.comparison->changes[*state_.change];
  if (!change.length_mm) return;
  step("Begin with the crack that was found");
  set_tracing(true);
  state_.draft.points[at(Season::Later)] = change.outline_px;
  state_.draft.placed_px[at(Season::Later)] = std::max(1.0, state_.draft.placed_px[at(Season::Later)]);
  measure_traces();
}

void Comparing::put_aside() {
  state_.draft = {};
  state_.traced = {};
  state_.tracing = false;
  past_.clear();
  future_.clear();
  held_.reset();
}

void Comparing::measure_traces() {
  for (const Season season : {Season::Earlier, Season::Later}) {
    state_.traced[at(season)] =
        state_.comparison ? vision::traced_length(*state_.comparison, season, state_.draft.points[at(season)],
                                                  state_.draft.placed_px[at(season)])
                          : std::nullopt;
  }
}

std::vector<model::Measurement> Comparing::records() const {
  std::vector<model::Measurement> out;
  for (const Season season : {Season::Earlier, Season::Later})
    if (const auto& length = state_.traced[at(season)])
      out.push_back(
          app::crack_record(*length, state_.draft.points[at(season)], state_.photo(season), state_.opening));
  return out;
}

std::optional<std::string> Comparing::undo_name() const {
  return past_.empty() ? std::nullopt : std::optional(past_.back().name);
}

std::optional<std::string> Comparing::redo_name() const {
  return future_.empty() ? std::nullopt : std::optional(future_.back().name);
}

void Comparing::undo() {
  if (past_.empty()) return;
  Step back = std::move(past_.back());
  past_.pop_back();
  future_.push_back({back.name, std::exchange(state_.draft, std::move(back.before))});
  measure_traces();
}

void Comparing::redo() {
  if (future_.empty()) return;
  Step again = std::move(future_.back());
  future_.pop_back();
  past_.push_back({again.name, std::exchange(state_.draft, std::move(again.before))});
  measure_traces();
}

}  // namespace spile::gui
