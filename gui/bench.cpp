#include "gui/bench.hpp"

#include <algorithm>
#include <utility>

namespace spile::gui {

namespace {

const char* step_name(Tool tool) {
  switch (tool) {
    case Tool::Rim:
      return "Place rim point";
    case Tool::Scale:
      return "Place end of known length";
    case Tool::Edge:
      return "Place end of edge line";
    case Tool::Look:
      break;
  }
  return "Place point";
}

const char* move_name(Tool tool) {
  switch (tool) {
    case Tool::Rim:
      return "Move rim point";
    case Tool::Scale:
      return "Move end of known length";
    case Tool::Edge:
      return "Move end of edge line";
    case Tool::Look:
      break;
  }
  return "Move point";
}

}  // namespace

std::size_t most_points(Tool tool) {
  switch (tool) {
    case Tool::Rim:
      return 64;
    case Tool::Scale:
      return 2;
    case Tool::Edge:
      return 4;
    case Tool::Look:
      break;
  }
  return 0;
}

const std::vector<model::PixelPoint>& points_of(const Draft& draft, Tool tool) {
  if (tool == Tool::Scale) return draft.scale;
  if (tool == Tool::Edge) return draft.edge;
  return draft.rim;
}

std::vector<model::PixelPoint>& Bench::points(Tool tool) {
  if (tool == Tool::Scale) return state_.draft.scale;
  if (tool == Tool::Edge) return state_.draft.edge;
  return state_.draft.rim;
}

void Bench::open(app::Session& session, const app::PhotoView& photo) {
  if (state_.use == photo.use.id && state_.load != BenchState::Load::Failed) return;
  close();
  state_.use = photo.use.id;
  state_.photo = photo.photo.id;
  state_.load = BenchState::Load::Loading;
  state_.width_px = photo.photo.width_px;
  state_.height_px = photo.photo.height_px;
  const auto loaded = [this, opened = opened_](Result<vision::Picture> picture) {
    if (opened != opened_) return;
    if (picture) return show(std::move(*picture), opened);
    state_.load = BenchState::Load::Failed;
    state_.failure = picture.error().sentence();
  };
  load_job_ = app::start_load(jobs_, session, photo.photo.id, loaded);
}

void Bench::use_lenses(const std::vector<model::CameraProfile>& lenses) {
  if (state_.picture) state_.picture = state_.picture->with_lens_of(lenses);
}

// What waits for this photo need not be done any more: the next one is not to wait for it.
void Bench::close() {
  ++opened_;
  drop_measuring();
  for (const app::JobStatus& job : jobs_.status()) jobs_.cancel(job.id);
  load_job_ = 0;
  state_ = {};
  past_.clear();
  future_.clear();
  tiles_asked_.clear();
  offered_.reset();
  again_ = false;
  dragging_ = false;
}

void Bench::forget() {
  close();
  remembered_.clear();
}

void Bench::failed(const app::JobFailure& failure) {
  if (failure.job == load_job_) {
    state_.load = BenchState::Load::Failed;
    state_.failure = failure.error.sentence();
  }
  if (failure.job != measure_job_ || !state_.measuring) return;
  drop_measuring();
  if (again_) start_measuring();
}

// Shrinking twelve million pixels takes longer than a frame: it belongs on the worker as much as decoding.
void Bench::show(vision::Picture picture, std::uint64_t opened) {
  load_job_ = jobs_.start("Preparing the photo", [this, picture, opened](app::Progress& progress) {
    if (progress.cancelled()) return app::Jobs::Done();
    auto pixels = std::make_shared<vision::Rgba>(picture.view(kViewSide));
    return app::Jobs::Done([this, picture, opened, pixels] {
      if (opened != opened_) return;
      state_.picture = picture;
      state_.width_px = picture.info().width_px;
      state_.height_px = picture.info().height_px;
      state_.load = BenchState::Load::Ready;
      uploads_.push_back({{TextureKey::Kind::View, state_.photo.value, 0, 0}, std::move(*pixels)});
      if (again_) start_measuring();
    });
  });
}

void Bench::remember(model::PhotoUseId use, vision::Report report) {
  remembered_[use] = std::move(report);
}

const vision::Report* Bench::remembered(model::PhotoUseId use) const {
  const auto hit = remembered_.find(use);
  return hit == remembered_.end() ? nullptr : &hit->second;
}

void Bench::show_remembered() {
  if (!state_.use || draft_says_something()) return;
  if (const vision::Report* report = remembered(*state_.use)) {
    offered_ = *report;
    fall_back();
  }
}

// To what was offered before anybody placed a point; to nothing where the record speaks for itself.
void Bench::fall_back() {
  state_.report = offered_;
  state_.request = {};
  state_.by_hand = false;
  if (!state_.report || state_.hole >= state_.report->holes.size()) state_.hole = 0;
}

void Bench::set_tool(Tool tool) {
  state_.tool = tool;
}

void Bench::place(model::PixelPoint at, double u_px) {
  auto& placed = points(state_.tool);
  if (state_.tool == Tool::Look || placed.size() >= most_points(state_.tool)) return;
  step(step_name(state_.tool));
  placed.push_back(at);
  state_.draft.placed_px = std::max(state_.draft.placed_px, u_px);
  draft_changed();
}

void Bench::grab(std::size_t index, bool just_placed) {
  if (index >= points(state_.tool).size()) return;
  dragging_ = true;
  step_made_ = just_placed;
}

// A point taken hold of but left where it was is no step.
void Bench::move(std::size_t index, model::PixelPoint to, double u_px) {
  auto& placed = points(state_.tool);
  if (!dragging_ || index >= placed.size() || placed[index] == to) return;
  if (!step_made_) step(move_name(state_.tool));
  step_made_ = true;
  placed[index] = to;
  state_.draft.placed_px = std::max(state_.draft.placed_px, u_px);
  draft_changed();
}

void Bench::drop() {
  dragging_ = false;
}

void Bench::take_back() {
  auto& placed = points(state_.tool);
  if (placed.empty()) return;
  step("Take back point");
  placed.pop_back();
  draft_changed();
}

void Bench::set_scale_length(const std::string& typed, units::LengthSystem lengths) {
  const auto read = units::parse_length(typed, lengths);
  state_.scale_trouble = read || typed.empty() ? "" : read.error().sentence();
  if (read && read->length.value() <= 0) state_.scale_trouble = "A known length is more than nothing.";
  step("Type known length");
  state_.draft.scale_typed = typed;
  state_.draft.scale_mm.reset();
  if (read && state_.scale_trouble.empty()) state_.draft.scale_mm = read->length.value();
  draft_changed();
}

void Bench::set_reference(const vision::ReferenceRequest& reference) {
  step("Choose reference");
  state_.draft.reference = reference;
  draft_changed();
}

void Bench::set_subject(vision::Subject subject) {
  step("Choose what to measure");
  state_.draft.subject = subject;
  draft_changed();
}

void Bench::set_snap(bool snap) {
  step(snap ? "Snap points to edges" : "Take points as placed");
  state_.draft.snap = snap;
  draft_changed();
}

void Bench::choose_hole(std::size_t hole) {
  if (state_.report && hole < state_.report->holes.size()) state_.hole = hole;
}

void Bench::measure() {
  if (!state_.use) return;
  again_ = true;
  if (state_.load == BenchState::Load::Ready) start_measuring();
}

void Bench::discard() {
  past_.clear();
  future_.clear();
  const bool snap = state_.draft.snap;
  state_.draft = {};
  state_.draft.snap = snap;
  offered_.reset();
  fall_back();
  state_.scale_trouble.clear();
  drop_measuring();
  again_ = false;
  dragging_ = false;
  state_.tool = Tool::Look;
}

void Bench::need_tile(int column, int row) {
  if (!state_.picture || tiles_asked_[{column, row}]) return;
  tiles_asked_[{column, row}] = true;
  const vision::Picture picture = *state_.picture;
  jobs_.start("Sharpening the view", [this, picture, column, row, opened = opened_](app::Progress& progress) {
    if (progress.cancelled()) return app::Jobs::Done();
    auto pixels = std::make_shared<vision::Rgba>(
        picture.tile(column * kTileSide, row * kTileSide, kTileSide, kTileSide));
    return app::Jobs::Done([this, pixels, column, row, opened] {
      if (opened != opened_) return;
      tiles_asked_[{column, row}] = false;
      uploads_.push_back({{TextureKey::Kind::Tile, state_.photo.value, column, row}, std::move(*pixels)});
    });
  });
}

std::optional<std::string> Bench::undo_name() const {
  return past_.empty() ? std::nullopt : std::optional(past_.back().name);
}

std::optional<std::string> Bench::redo_name() const {
  return future_.empty() ? std::nullopt : std::optional(future_.back().name);
}

void Bench::undo() {
  if (past_.empty()) return;
  Step back = std::move(past_.back());
  past_.pop_back();
  future_.push_back({back.name, std::exchange(state_.draft, std::move(back.before))});
  draft_changed();
}

void Bench::redo() {
  if (future_.empty()) return;
  Step again = std::move(future_.back());
  future_.pop_back();
  past_.push_back({again.name, std::exchange(state_.draft, std::move(again.before))});
  draft_changed();
}

void Bench::step(std::string name) {
  past_.push_back({std::move(name), state_.draft});
  future_.clear();
}

bool Bench::draft_says_something() const {
  const Draft& d = state_.draft;
  const bool reference = !std::holds_alternative<vision::AutoReference>(d.reference);
  return d.rim.size() >= 3 || d.edge.size() == 4 || (d.scale.size() == 2 && d.scale_mm) || reference ||
         d.subject != vision::Subject::Auto;
}

vision::Request Bench::request_of_draft() const {
  const Draft& d = state_.draft;
  vision::Request request;
  request.subject = d.subject;
  request.reference = d.reference;
  request.snap_to_edges = d.snap;
  if (d.placed_px > 0) request.placed_px = d.placed_px;
  if (d.scale.size() == 2 && d.scale_mm)
    request.reference = vision::PointsReference{d.scale[0], d.scale[1], *d.scale_mm};
  if (d.rim.size() >= 3) request.rim_by_hand = d.rim;
  if (d.edge.size() == 4) request.edge_by_hand = d.edge;
  return request;
}

// A draft that says nothing falls back to what was found before it.
void Bench::draft_changed() {
  if (!draft_says_something()) {
    again_ = false;
    return fall_back();
  }
  measure();
}

void Bench::start_measuring() {
  if (state_.measuring || !state_.picture) return;
  again_ = false;
  state_.measuring = true;
  const vision::Request request = request_of_draft();
  const auto answered = [this, request, asked = ++asked_](vision::Report report) {
    if (asked == asked_) measured(std::move(report), request);
  };
  measure_job_ = app::start_measure(jobs_, *state_.picture, request, answered);
}

void Bench::drop_measuring() {
  ++asked_;
  jobs_.cancel(measure_job_);
  measure_job_ = 0;
  state_.measuring = false;
}

void Bench::measured(vision::Report report, const vision::Request& request) {
  state_.measuring = false;
  if (again_) return start_measuring();
  const auto* sheet = std::get_if<vision::SquareReference>(&request.reference);
  const bool nothing_by_hand = request.rim_by_hand.empty() && request.edge_by_hand.empty() &&
                               !std::holds_alternative<vision::PointsReference>(request.reference) &&
                               !(sheet && !sheet->corners.empty());
  // Taken back while it was being measured: the answer is to a question nobody asks any more.
  if (!nothing_by_hand && !draft_says_something()) return fall_back();
  if (nothing_by_hand && !draft_says_something()) {
    remember(*state_.use, report);
    offered_ = report;
  }
  state_.report = std::move(report);
  state_.request = request;
  state_.by_hand = !nothing_by_hand;
  state_.hole = 0;
}

}  // namespace spile::gui
