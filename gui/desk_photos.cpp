// Desk: photos in, photos filed, and what was measured in them.
#include <fmt/format.h>

#include <algorithm>

#include "gui/desk.hpp"

namespace spile::gui {

namespace {

constexpr int kThumbSide = 320;

const std::vector<app::PhotoView> kNoPhotos;

const app::PhotoView* find_use(const std::vector<app::PhotoView>& photos, model::PhotoUseId use) {
  const auto hit =
      std::find_if(photos.begin(), photos.end(), [use](const app::PhotoView& p) { return p.use.id == use; });
  return hit == photos.end() ? nullptr : &*hit;
}

bool has_record_of(const app::OpeningView& opening, model::PhotoId photo) {
  return std::any_of(opening.measurements.begin(), opening.measurements.end(),
                     [photo](const model::Measurement& m) { return m.photo == photo; });
}

// Of a fitting the flange is kept; a nut's size across flats is read off and has no place in the record.
bool answers(const vision::Report& report) {
  const bool flange = report.fitting && report.fitting->flange_mm > 0;
  return !report.refused && (!report.holes.empty() || report.edge || flange);
}

}  // namespace

const std::vector<app::PhotoView>& Desk::photos() const {
  if (!session_) return kNoPhotos;
  const app::OpeningView* opening = selected();
  return opening ? opening->photos : session_->snapshot().unfiled;
}

const app::PhotoView* Desk::open_photo() const {
  return bench().use ? find_use(photos(), *bench().use) : nullptr;
}

bool Desk::can_accept() const {
  return can_edit() && selected() && open_photo() && bench().report && answers(*bench().report) &&
         !bench().measuring && session_->snapshot().survey;
}

void Desk::on(const DropFiles& asked) {
  if (asked.files.empty()) return;
  if (asked.files.size() == 1 &&
      (is_logbook(asked.files.front()) || asked.files.front().extension() == ".spile"))
    return on(OpenLogbook{asked.files.front()});
  if (!session_)
    return complain("Photos are kept in a logbook. Create or open one first, then drop them again.");
  if (!can_edit()) return complain("This logbook is open for reading only, so no photo can be added to it.");
  if (state_.page == Page::Cameras) return on(CalibrateCamera{asked.files});
  import(asked.files, asked.onto);
}

void Desk::import(const std::vector<std::filesystem::path>& files, std::optional<model::OpeningId> opening) {
  if (!can_edit()) return;
  app::ImportOptions options;
  options.opening = opening;
  app::start_import(*imports_, *session_, files, options,
                    [this, logbook = logbook_](const std::vector<app::ImportOutcome>& outcomes) {
                      if (logbook == logbook_) imported(outcomes);
                    });
}

void Desk::imported(const std::vector<app::ImportOutcome>& outcomes) {
  int taken = 0;
  int known = 0;
  std::optional<model::PhotoUseId> first;
  for (const app::ImportOutcome& outcome : outcomes) {
    if (outcome.error && outcome.error->code != ErrorCode::Cancelled) complain(outcome.error->sentence());
    if (!outcome.use) continue;
    outcome.already_there ? ++known : ++taken;
    if (!first) first = outcome.use;
    if (outcome.report) bench_->remember(*outcome.use, *outcome.report);
  }
  done(session_->refresh());
  const std::string again = known > 0 ? fmt::format(" {} had been taken in before.", known) : std::string();
  if (taken + known > 0) say(fmt::format("{} photo{} taken in.{}", taken, taken == 1 ? "" : "s", again));
  if (!first) return;
  // Show what has just come in, unless something is being worked on.
  const bool here = find_use(photos(), *first) != nullptr;
  if (!here && find_use(session_->snapshot().unfiled, *first) && !selected()) state_.selected.reset();
  if (here && !bench_->undo_name()) on(OpenPhoto{*first});
}

void Desk::on(const OpenPhoto& asked) {
  const app::PhotoView* photo = find_use(photos(), asked.use);
  if (!photo) return;
  bench_->open(*session_, *photo);
  const app::OpeningView* opening = selected();
  if (!opening || !has_record_of(*opening, photo->photo.id)) bench_->show_remembered();
}

void Desk::on(const StepPhoto& asked) {
  const auto& shown = photos();
  if (shown.empty()) return;
  int at = 0;
  for (std::size_t i = 0; i < shown.size(); ++i)
    if (bench().use == shown[i].use.id) at = static_cast<int>(i);
  const int last = static_cast<int>(shown.size()) - 1;
  on(OpenPhoto{shown[static_cast<std::size_t>(std::clamp(at + asked.by, 0, last))].use.id});
}

void Desk::on(const FilePhoto& asked) {
  if (!session_) return;
  if (!done(session_->file_photo(asked.use, asked.opening)) || !asked.opening) return;
  const app::OpeningView* opening = session_->snapshot().find(*asked.opening);
  const app::PhotoView* photo = opening ? find_use(opening->photos, asked.use) : nullptr;
  if (!photo) return;
  say("Photo filed under " + opening->opening.tag + ".");
  record_found(*photo, *opening);
}

// What was found while the photo belonged to nobody is recorded as soon as it belongs to an opening.
void Desk::record_found(const app::PhotoView& photo, const app::OpeningView& opening) {
  const vision::Report* report = bench_->remembered(photo.use.id);
  if (!report || !answers(*report) || has_record_of(opening, photo.photo.id)) return;
  const auto records = app::records_of(*report, {}, opening.opening.id, photo.use.survey, photo.photo.id);
  done(session_->record_measurements("Record what was measured, " + opening.opening.tag, records));
}

void Desk::on(const RemovePhoto& asked) {
  if (!session_) return;
  if (done(session_->remove_photo_use(asked.use)))
    say("Photo taken out of this survey. The original stays in the logbook; Ctrl+Z brings it back.");
}

void Desk::on(const NeedThumb& asked) {
  if (!session_ || !thumbs_asked_.insert(asked.photo).second) return;
  app::start_load(
      *thumb_jobs_, *session_, asked.photo,
      [this, photo = asked.photo, logbook = logbook_](Result<vision::Picture> picture) {
        if (logbook != logbook_ || !picture) return;
        thumb_jobs_->start(
            "Thumbnail", [this, photo, logbook, kept = *picture](app::Progress&) -> app::Jobs::Done {
              auto pixels = std::make_shared<vision::Rgba>(kept.view(kThumbSide));
              return [this, photo, logbook, pixels] {
                if (logbook != logbook_) return;
                uploads_.push_back({{TextureKey::Kind::Thumb, photo.value, 0, 0}, std::move(*pixels)});
              };
            });
      });
}

// --- the photo in hand

void Desk::on(const NeedTile& asked) {
  bench_->need_tile(asked.column, asked.row);
}
void Desk::on(const SetTool& asked) {
  bench_->set_tool(asked.tool);
}
void Desk::on(const PlacePoint& asked) {
  bench_->place(asked.at, asked.u_px);
}
void Desk::on(const GrabPoint& asked) {
  bench_->grab(asked.index, asked.just_placed);
}
void Desk::on(const MovePoint& asked) {
  bench_->move(asked.index, asked.to, asked.u_px);
}
void Desk::on(const DropPoint&) {
  bench_->drop();
}
void Desk::on(const TakeBackPoint&) {
  bench_->take_back();
}
void Desk::on(const SetScaleLength& asked) {
  bench_->set_scale_length(asked.typed, state_.settings.lengths);
}
void Desk::on(const SetReference& asked) {
  bench_->set_reference(asked.reference);
}
void Desk::on(const SetSubject& asked) {
  bench_->set_subject(asked.subject);
}
void Desk::on(const SetSnap& asked) {
  bench_->set_snap(asked.snap);
}
void Desk::on(const ChooseHole& asked) {
  bench_->choose_hole(asked.hole);
}
void Desk::on(const MeasurePhoto&) {
  bench_->measure();
}

void Desk::on(const AcceptResult&) {
  if (!can_accept()) return;
  const app::OpeningView& opening = *selected();
  const BenchState& hand = bench();
  const auto records = app::records_of(*hand.report, hand.request, opening.opening.id,
                                       *session_->snapshot().survey, hand.photo, hand.hole);
  const bool again = has_record_of(opening, hand.photo);
  const char* what =
      hand.by_hand ? (again ? "Correct by hand" : "Measure by hand") : "Record what was measured";
  const std::string recorded =
      fmt::format("Recorded for {}: {}.", opening.opening.tag, app::one_line(*hand.report));
  if (!done(session_->record_measurements(fmt::format("{}, {}", what, opening.opening.tag), records))) return;
  bench_->discard();
  say(recorded);
}

void Desk::on(const DiscardResult&) {
  bench_->discard();
}

// --- after any change

void Desk::records_changed() {
  if (!session_) return;
  revision_ = session_->snapshot().revision;
  bench_->use_lenses(session_->snapshot().cameras);
  if (state_.selected && !selected()) {
    const auto shown = rows();
    state_.selected.reset();
    if (!shown.empty()) state_.selected = shown.front()->opening.id;
  }
  if (bench().use && !open_photo()) open_best_photo();
  if (!bench().use && !photos().empty()) open_best_photo();
}

// The photo something was measured in says more than the first one.
void Desk::open_best_photo() {
  const auto& shown = photos();
  if (shown.empty()) return bench_->close();
  const app::OpeningView* opening = selected();
  const app::PhotoView* best = &shown.front();
  for (const app::PhotoView& photo : shown)
    if (opening && has_record_of(*opening, photo.photo.id)) {
      best = &photo;
      break;
    }
  on(OpenPhoto{best->use.id});
}

}  // namespace spile::gui
